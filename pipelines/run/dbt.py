"""The dbt project, run in this process, quietly; rows that fail a data test are shown."""

import contextlib
import gc
import json
import os
import shutil
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import duckdb

from pipelines.errors import CheckFailed
from pipelines.memory import memory_limit
from pipelines.run.manifest import kept_manifest

PROJECT = Path(__file__).resolve().parents[2] / "models"
_SHOWN_ROWS = 5
_SLOWEST = 12
#: No log file and no artefact files: results are read from the call. They took a fifth of the time.
_SILENT = ("--quiet", "--log-level", "none", "--log-level-file", "none", "--no-write-json")


@dataclass(frozen=True)
class DbtOutcome:
    """Seconds of start-up (import and parse) and of the build, how many nodes it had, and the
    seconds of the slowest."""

    startup_seconds: float
    build_seconds: float
    models: int
    tests: int
    slowest: tuple[tuple[str, float], ...] = ()


def build_models(warehouse: Path, as_of: datetime, finding_models: list[str]) -> DbtOutcome:
    """Build every model and run every data test.

    Raises:
        CheckFailed: a model or test failed; the message holds the failing rows.
    """
    with (
        tempfile.TemporaryDirectory(prefix="ledgerstone-") as scratch,
        _environment(warehouse, Path(scratch)),
        _uncollected(),
    ):
        project = Path(scratch) / "project"
        # Unit tests prove the models when these change; reading them would cost every run a second.
        shutil.copytree(PROJECT, project, ignore=shutil.ignore_patterns("*_unit_tests.yml"))
        shared = _arguments(project, as_of, finding_models)
        return _invoke(project, warehouse, finding_models, shared)


def _arguments(project: Path, as_of: datetime, finding_models: list[str]) -> list[str]:
    variables = {
        "as_of": as_of.strftime("%Y-%m-%d %H:%M:%S"),
        "finding_models": sorted(finding_models),
    }
    return [
        "--project-dir", str(project), "--profiles-dir", str(project),
        "--vars", json.dumps(variables), "--no-partial-parse",
    ]  # fmt: skip


def _invoke(
    project: Path, warehouse: Path, finding_models: list[str], shared: list[str]
) -> DbtOutcome:
    begun = time.perf_counter()
    # Imported here: it takes seconds, and most commands do without it.
    from dbt.adapters.duckdb.connections import DuckDBConnectionManager  # noqa: PLC0415
    from dbt.cli.main import dbtRunner  # noqa: PLC0415
    from dbt.contracts.graph.manifest import Manifest  # noqa: PLC0415

    from pipelines.run.events import silent_events  # noqa: PLC0415

    def parse() -> Manifest:
        parsed = dbtRunner().invoke([*_SILENT, "parse", *shared])
        if not isinstance(parsed.result, Manifest):
            raise CheckFailed(
                f"The models cannot be read: {parsed.exception}", "Report this with the message."
            )
        return parsed.result

    try:
        manifest = kept_manifest(project, [warehouse.name, *finding_models], parse)
        started = time.perf_counter()
        with silent_events():
            outcome = dbtRunner(manifest=manifest).invoke(
                [*_SILENT, "build", "--exclude-resource-type", "exposure", *shared]
            )
        ended = time.perf_counter()
    finally:
        DuckDBConnectionManager.close_all_connections()  # type: ignore[no-untyped-call]
    if outcome.exception is not None:
        raise CheckFailed(
            f"The models could not be built: {outcome.exception}", "Report this with the message."
        )
    results: list[Any] = list(outcome.result)  # type: ignore[arg-type]
    failed = [r for r in results if r.status in {"error", "fail", "runtime error"}]
    if failed:
        raise CheckFailed(_describe(failed, warehouse), "Nothing was swapped in. Report this.")
    tests = sum(r.node.resource_type == "test" for r in results)
    slowest = sorted(((r.node.name, r.execution_time) for r in results), key=lambda x: -x[1])
    return DbtOutcome(
        started - begun, ended - started, len(results) - tests, tests, tuple(slowest[:_SLOWEST])
    )


def _describe(failed: list[Any], warehouse: Path) -> str:
    parts = [f"{len(failed)} checks of the built warehouse did not pass:"]
    with contextlib.closing(duckdb.connect(str(warehouse))) as con:
        for result in failed:
            parts.append(f"- {result.node.name}: {(result.message or '').strip()[:2000]}")
            sql = getattr(result.node, "compiled_code", None)
            if result.node.resource_type == "test" and sql:
                with contextlib.suppress(duckdb.Error):
                    parts.append(str(con.sql(f"select * from ({sql}) limit {_SHOWN_ROWS}")))
    return "\n".join(parts)


@contextlib.contextmanager
def _uncollected() -> Iterator[None]:
    """Without the search for cyclic garbage: dbt keeps 170,000 objects for the whole build, and
    to walk them again and again took a tenth of its time. What it drops is little."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


@contextlib.contextmanager
def _environment(warehouse: Path, scratch: Path) -> Iterator[None]:
    """Settings that dbt reads from the environment: no usage statistics, build products apart."""
    ours = {
        "LEDGERSTONE_WAREHOUSE": str(warehouse),
        "LEDGERSTONE_MEMORY_LIMIT": memory_limit(),
        "DBT_TARGET_PATH": str(scratch / "target"),
        "DBT_LOG_PATH": str(scratch / "logs"),
        "DBT_SEND_ANONYMOUS_USAGE_STATS": "false",
        "DO_NOT_TRACK": "1",
    }
    before = {name: os.environ.get(name) for name in ours}
    os.environ.update(ours)
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value
