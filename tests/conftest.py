"""One run of the demo group, shared by all tests that look at its results."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import duckdb
import pytest

from pipelines.command.demo import AS_OF, DROP
from pipelines.run.database import reading
from pipelines.run.pipeline import RunRequest, RunResult, run_pipeline


@dataclass(frozen=True)
class DemoRun:
    """The demo's warehouse and site, and what the run said."""

    warehouse: Path
    site: Path
    result: RunResult
    told: list[str]


@pytest.fixture(scope="session")
def demo_run(tmp_path_factory: pytest.TempPathFactory) -> DemoRun:
    folder = tmp_path_factory.mktemp("demo")
    told: list[str] = []
    warehouse, site = folder / "warehouse.duckdb", folder / "site"
    result = run_pipeline(RunRequest(DROP, warehouse, site, AS_OF, told.append))
    return DemoRun(warehouse, site, result, told)


@pytest.fixture
def demo(demo_run: DemoRun) -> Iterator[duckdb.DuckDBPyConnection]:
    """A read-only connection to the demo's warehouse."""
    with reading(demo_run.warehouse) as con:
        yield con
