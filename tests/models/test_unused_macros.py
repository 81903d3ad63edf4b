"""The kept reading of the models holds fewer macros and gives the same models."""

from pathlib import Path
from typing import Any

from pipelines.run.manifest import drop_unused_macros
from tests.models.conftest import EmptyBuild
from tests.models.project import make_empty_warehouse, run_dbt


def _compiled(results: list[Any]) -> dict[str, str]:
    return {
        result.node.unique_id: result.node.compiled_code
        for result in results
        if result.node.resource_type in {"model", "test"}
    }


def test_every_model_and_test_is_the_same_without_the_macros_that_none_uses(
    empty_build: EmptyBuild, tmp_path: Path
) -> None:
    few = empty_build.parsed.deepcopy()
    drop_unused_macros(few)
    warehouse = tmp_path / "empty.duckdb"
    make_empty_warehouse(warehouse)
    # A run reads a copy of the project without unit tests: their macros are among the dropped ones.
    results = list(run_dbt(warehouse, ["build", "--exclude-resource-type", "unit_test"], few))
    assert len(few.macros) < len(empty_build.parsed.macros) / 3
    assert {r.status for r in results if r.node.resource_type != "exposure"} == {"success", "pass"}
    assert _compiled(results) == _compiled(empty_build.results)
