"""The dbt project, run in this process, quietly; rows that fail a data test are shown."""

import contextlib
import gc
import json
import os
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import duckdb

from pipelines.errors import CheckFailed
from pipelines.memory import memory_limit
from pipelines.run.manifest import is_read, kept_at, kept_manifest

if TYPE_CHECKING:
    from dbt.cli.main import dbtRunnerResult
    from dbt.contracts.graph.manifest import Manifest

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


def build_models(
    warehouse: Path,
    as_of: datetime,
    finding_models: list[str],
    wait: Callable[[], None] = lambda: None,
) -> DbtOutcome:
    """Build every model and run every data test. ``wait`` ends when a reading ahead has.

    Raises:
        CheckFailed: a model or test failed; the message holds the failing rows.
    """
    with _project(warehouse) as project, _uncollected():
        begun = time.perf_counter()
        # Imported here: it takes seconds, and most commands do without it.
        from dbt.adapters.duckdb.connections import DuckDBConnectionManager  # noqa: PLC0415
        from dbt.cli.main import dbtRunner  # noqa: PLC0415

        from pipelines.run.quiet import quiet_build  # noqa: PLC0415

        wait()
        shared = _arguments(project, as_of, finding_models)
        try:
            manifest = _manifest(project, warehouse, finding_models, shared)
            started = time.perf_counter()
            with quiet_build():
                outcome = dbtRunner(manifest=manifest).invoke(
                    [*_SILENT, "build", "--exclude-resource-type", "exposure", *shared]
                )
            ended = time.perf_counter()
        finally:
            DuckDBConnectionManager.close_all_connections()  # type: ignore[no-untyped-call]
    return _outcome(outcome, warehouse, started - begun, ended - started)


def read_models(warehouse: Path, finding_models: list[str]) -> None:
    """Keep the reading of the models for the next build of such a warehouse."""
    with _project(warehouse) as project, _uncollected():
        shared = _arguments(project, datetime(1970, 1, 1), finding_models)
        _manifest(project, warehouse, finding_models, shared)


def are_models_read(warehouse: Path, finding_models: list[str]) -> bool:
    """Whether a reading of the models is kept for such a warehouse."""
    return kept_at(PROJECT, _fixed(warehouse, finding_models)).exists()


def _fixed(warehouse: Path, finding_models: list[str]) -> list[str]:
    return [warehouse.name, *finding_models]


@contextlib.contextmanager
def _project(warehouse: Path) -> Iterator[Path]:
    """A copy of what a run reads of the project, and the environment that dbt expects."""
    with tempfile.TemporaryDirectory(prefix="ledgerstone-") as scratch:
        project = Path(scratch) / "project"
        for path in filter(is_read, PROJECT.rglob("*")):
            copy = project / path.relative_to(PROJECT)
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, copy)
        with _environment(warehouse, Path(scratch)):
            yield project


def _arguments(project: Path, as_of: datetime, finding_models: list[str]) -> list[str]:
    variables = {
        "as_of": as_of.strftime("%Y-%m-%d %H:%M:%S"),
        "finding_models": sorted(finding_models),
    }
    return [
        "--project-dir", str(project), "--profiles-dir", str(project),
        "--vars", json.dumps(variables), "--no-partial-parse",
    ]  # fmt: skip


def _manifest(
    project: Path, warehouse: Path, finding_models: list[str], shared: list[str]
) -> "Manifest":
    from dbt.cli.main import dbtRunner  # noqa: PLC0415
    from dbt.contracts.graph.manifest import Manifest  # noqa: PLC0415

    def parse() -> Manifest:
        parsed = dbtRunner().invoke([*_SILENT, "parse", *shared])
        if not isinstance(parsed.result, Manifest):
            raise CheckFailed(
                f"The models cannot be read: {parsed.exception}", "Report this with the message."
            )
        return parsed.result

    return kept_manifest(project, _fixed(warehouse, finding_models), parse)


def _outcome(
    outcome: "dbtRunnerResult", warehouse: Path, startup: float, build: float
) -> DbtOutcome:
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
    return DbtOutcome(startup, build, len(results) - tests, tests, tuple(slowest[:_SLOWEST]))


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
