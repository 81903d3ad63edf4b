"""The small group of faults and twins, put through the real models once per test session."""

import atexit
import csv
import shutil
import tempfile
from functools import cache
from pathlib import Path

import duckdb
import yaml

import validation
from pipelines.run.dbt import PROJECT
from tests.models.money_scenario import scenario
from tests.models.project import make_empty_warehouse, run_dbt

REFERENCE = Path(validation.__file__).parent / "reference"
SUBJECTS = ("chemicals", "prices", "merchandise", "billed_care")


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
    make_empty_warehouse(warehouse)
    with duckdb.connect(str(warehouse)) as con:
        group.insert_into(con)
    # Cautious: data tests that also look at models of other subjects are left to the whole build.
    results = run_dbt(
        warehouse,
        ["build", "--exclude-resource-type", "unit_test", "--indirect-selection", "cautious",
         "--select", *(f"+{name}" for name in _models())],
    )  # fmt: skip
    failed = [f"{r.node.name}: {r.message}" for r in results if r.status not in {"success", "pass"}]
    if failed:
        raise RuntimeError("\n".join(failed))
    return warehouse


def _models() -> list[str]:
    """Names of the models that the yml files of these subjects describe."""
    return [
        model["name"]
        for layer in ("intermediate", "findings", "marts")
        for subject in SUBJECTS
        if (path := PROJECT / layer / f"{subject}.yml").exists()
        for model in yaml.safe_load(path.read_text(encoding="utf-8"))["models"]
    ]
