"""The small group of faults and twins, put through the real models once per test session."""

import atexit
import csv
import shutil
import tempfile
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any, cast

import duckdb
import pytest
import yaml

from pipelines.load import create_schemas
from pipelines.run.dbt import PROJECT
from tests.models.money_scenario import scenario

REFERENCE = Path(__file__).resolve().parents[2] / "validation" / "reference"


@cache
def money_warehouse() -> Path:
    """A warehouse built from the scenario. Raises if a model or one of its data tests fails."""
    folder = Path(tempfile.mkdtemp(prefix="ledgerstone-money-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    warehouse = folder / "money.duckdb"
    group = scenario()
    for name in ("exposure_limits", "unit_factors", "price_list_items"):
        with (REFERENCE / f"{name}.csv").open(newline="", encoding="utf-8") as file:
            for record in csv.DictReader(file):
                group.add(name, **record)
    with duckdb.connect(str(warehouse)) as con:
        create_schemas(con)
        group.insert_into(con)
    with pytest.MonkeyPatch.context() as environment:
        for name, value in {
            "LEDGERSTONE_WAREHOUSE": str(warehouse),
            "DBT_TARGET_PATH": str(folder / "target"),
            "DBT_LOG_PATH": str(folder / "logs"),
            "DBT_SEND_ANONYMOUS_USAGE_STATS": "false",
            "DO_NOT_TRACK": "1",
        }.items():
            environment.setenv(name, value)
        _run_dbt()
    return warehouse


def _run_dbt() -> None:
    from dbt.adapters.duckdb import DuckDBConnectionManager  # noqa: PLC0415  (takes seconds)
    from dbt.cli.main import dbtRunner  # noqa: PLC0415

    subjects = ("chemicals", "prices", "merchandise", "billed_care")
    chosen = [f"+{name}" for name in _models(subjects)]
    try:
        outcome = dbtRunner().invoke(
            ["--quiet", "build", "--project-dir", str(PROJECT), "--profiles-dir", str(PROJECT),
             "--no-partial-parse", "--exclude-resource-type", "unit_test",
             "--indirect-selection", "cautious",
             "--vars", '{"as_of": "2026-11-16 12:00:00"}', "--select", *chosen]
        )  # fmt: skip
    finally:
        DuckDBConnectionManager.close_all_connections()
    if outcome.exception is not None:
        raise RuntimeError(str(outcome.exception))
    results: list[Any] = list(cast(Iterable[Any], outcome.result))
    failed = [f"{r.node.name}: {r.message}" for r in results if r.status not in {"success", "pass"}]
    if failed:
        raise RuntimeError("\n".join(failed))


def _models(subjects: tuple[str, ...]) -> list[str]:
    """Names of the models that the yml files of these subjects describe."""
    return [
        model["name"]
        for layer in ("intermediate", "findings", "marts")
        for subject in subjects
        if (path := PROJECT / layer / f"{subject}.yml").exists()
        for model in yaml.safe_load(path.read_text(encoding="utf-8"))["models"]
    ]
