"""One build of the whole project on an empty warehouse, shared by the tests of the models."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.models.project import make_empty_warehouse, manifest, run_dbt


@dataclass(frozen=True)
class EmptyBuild:
    """The empty warehouse, what became of each node, and dbt's manifest."""

    warehouse: Path
    results: list[Any]
    manifest: dict[str, Any]


@pytest.fixture(scope="session")
def empty_build(tmp_path_factory: pytest.TempPathFactory) -> EmptyBuild:
    warehouse = tmp_path_factory.mktemp("empty") / "empty.duckdb"
    make_empty_warehouse(warehouse)
    results = run_dbt(warehouse, ["build"])
    return EmptyBuild(warehouse, results, manifest(warehouse))
