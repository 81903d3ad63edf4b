"""Every model, data test and unit test of the project, on a warehouse without a record."""

import duckdb
import pytest

from tests.models.conftest import EmptyBuild

#: Views and tables of the layers that may hold rows although nothing was loaded.
_FROM_THE_CATALOGUE = {"rule_states"}


def _of_type(build: EmptyBuild, kind: str) -> list[str]:
    return [r.node.name for r in build.results if r.node.resource_type == kind]


def test_every_model_builds_and_every_test_passes(empty_build: EmptyBuild) -> None:
    failed = {
        result.node.name: result.message
        for result in empty_build.results
        if result.node.resource_type != "exposure" and result.status not in {"success", "pass"}
    }
    assert failed == {}


def test_unit_tests_ran(empty_build: EmptyBuild) -> None:
    declared = set(empty_build.manifest["unit_tests"])
    assert len(_of_type(empty_build, "unit_test")) == len(declared) > 60


def test_every_finding_model_has_a_unit_test_or_a_scenario(empty_build: EmptyBuild) -> None:
    """Chemicals, prices, merchandise and billed care have theirs in test_money_findings."""
    tested = {test["model"] for test in empty_build.manifest["unit_tests"].values()}
    in_scenario = ("chemicals", "prices", "merchandise", "billed_care")
    untested = [
        node["name"]
        for node in empty_build.manifest["nodes"].values()
        if node["name"].startswith("finding_")
        and node["name"] not in tested
        and not any(f"/{subject}.yml" in (node["patch_path"] or "") for subject in in_scenario)
    ]
    assert untested == []


@pytest.mark.parametrize("schema", ["findings", "marts"])
def test_nothing_is_found_in_nothing(empty_build: EmptyBuild, schema: str) -> None:
    with duckdb.connect(str(empty_build.warehouse), read_only=True) as con:
        names = [
            row[0]
            for row in con.execute(
                "select table_name from information_schema.tables where table_schema = ?", [schema]
            ).fetchall()
        ]
        filled = {
            name
            for name in names
            if con.execute(f"select count(*) from {schema}.{name}").fetchall()[0][0]
        }
        states = con.execute("select distinct state from marts.rule_states").fetchall()
    assert len(names) > 15
    assert filled <= _FROM_THE_CATALOGUE
    assert {state for (state,) in states} == {"not applicable", "not checked"}
