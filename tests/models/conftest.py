"""One build of the whole project on an empty warehouse, shared by the tests of the models."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tests.models.project import inline_rows, make_empty_warehouse, manifest, run_dbt


@dataclass(frozen=True)
class EmptyBuild:
    """The empty warehouse, what became of each node, and dbt's manifest (as read, as written)."""

    warehouse: Path
    results: list[Any]
    parsed: Any
    manifest: dict[str, Any]

    def rows(self, sql: str) -> list[tuple[Any, ...]]:
        """Rows of SQL that uses the project's macros."""
        return inline_rows(self.warehouse, sql, self.parsed)


@pytest.fixture(scope="session")
def empty_build(tmp_path_factory: pytest.TempPathFactory) -> EmptyBuild:
    warehouse = tmp_path_factory.mktemp("empty") / "empty.duckdb"
    make_empty_warehouse(warehouse)
    parsed = run_dbt(warehouse, ["parse"])
    results = list(run_dbt(warehouse, ["build"], parsed))
    return EmptyBuild(warehouse, results, parsed, manifest(warehouse))
