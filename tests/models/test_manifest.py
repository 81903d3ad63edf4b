"""Layer, schema, materialisation, contract and description of every model.

dbt ignores folder-level settings when folders are named in model-paths, with a warning at most, so
that what each yml says is asserted here from the manifest.
"""

import re
from pathlib import Path
from typing import Any

import duckdb
import pytest
import yaml

from pipelines.feeds import GROUP_FEEDS
from tests.models.conftest import EmptyBuild
from tests.models.project import FINDING_MODELS, PROJECT

LAYERS = {
    "staging": {"view"},
    "intermediate": {"view", "table"},
    "findings": {"view", "table"},
    "marts": {"view", "table"},
}
SHAPE = [
    "rule_code", "case_number", "location_id", "occurred_at", "measured_value", "limit_value",
    "value_unit", "feed_a", "file_id_a", "line_a", "feed_b", "file_id_b", "line_b", "detail",
]  # fmt: skip
#: What each reader's pages stand on; the grain is the description's last sentence.
MARTS = {
    "air_samples", "bill_against_estimate", "case_papers", "case_steps", "census",
    "charges_checked", "clearances",
    "custody_line", "due_soon", "figure_changes", "flow_checks", "held_back_records",
    "held_back_to_mend",
    "limits_due", "place_stays", "remains_in_keeping", "step_accounts", "stuck_list",
    "home_medians", "home_shares", "like_with_like", "usual_ranges", "weekly_figures",
    "wait_split", "physical_counts", "place_hours",
    "chemical_use_by_case", "chemical_use_by_week",
    "control_totals", "custody_cases", "custody_gaps", "custody_legs", "finding_answers",
    "finding_changes", "finding_people", "findings", "goods_journal", "goods_on_hand", "held_back",
    "homes_against_the_rest", "location_comparison", "merchandise_by_month", "merchandise_matched",
    "price_list_completeness", "price_list_in_force", "rule_states", "started_turnaround",
    "stock_roll_forward", "waiting_curves", "weekly_flow", "weekly_turnaround",
}  # fmt: skip
_GRAIN = re.compile(r"One row per [^.]+\.$")


@pytest.fixture(scope="module")
def models(empty_build: EmptyBuild) -> list[dict[str, Any]]:
    return [
        node for node in empty_build.manifest["nodes"].values() if node["resource_type"] == "model"
    ]


def _layer(model: dict[str, Any]) -> str:
    return Path(model["original_file_path"]).parts[0]


def test_every_sql_file_is_a_model(models: list[dict[str, Any]]) -> None:
    files = {path.stem for layer in LAYERS for path in (PROJECT / layer).glob("*.sql")}
    assert {model["name"] for model in models} == files


def test_every_model_stands_in_the_schema_of_its_folder(models: list[dict[str, Any]]) -> None:
    assert {m["name"]: m["schema"] for m in models} == {m["name"]: _layer(m) for m in models}


def test_every_model_is_materialised_as_its_layer_allows(models: list[dict[str, Any]]) -> None:
    wrong = {
        m["name"]: m["config"]["materialized"]
        for m in models
        if m["config"]["materialized"] not in LAYERS[_layer(m)]
    }
    assert wrong == {}


def test_every_mart_has_an_enforced_contract(models: list[dict[str, Any]]) -> None:
    marts = {m["name"]: m["config"]["contract"]["enforced"] for m in models if _layer(m) == "marts"}
    assert marts == dict.fromkeys(MARTS, True)


def test_every_description_ends_with_the_grain(models: list[dict[str, Any]]) -> None:
    without = [m["name"] for m in models if not _GRAIN.search(m["description"].strip())]
    assert without == []


def test_every_column_of_a_computed_table_is_described(
    models: list[dict[str, Any]], empty_build: EmptyBuild
) -> None:
    with duckdb.connect(str(empty_build.warehouse), read_only=True) as con:
        columns = con.execute(
            "select table_name, column_name from information_schema.columns "
            "where table_schema in ('intermediate', 'findings', 'marts')"
        ).fetchall()
    described = {
        (m["name"], name)
        for m in models
        for name, column in m["columns"].items()
        if column["description"]
    }
    computed = {m["name"] for m in models if _layer(m) != "staging"}
    assert {(t, c) for t, c in columns if t in computed} == {
        (t, c) for t, c in described if t in computed
    }


def test_every_finding_has_the_one_shape(empty_build: EmptyBuild) -> None:
    with duckdb.connect(str(empty_build.warehouse), read_only=True) as con:
        shapes = {
            name: [(row[0], row[1]) for row in con.execute(f"describe findings.{name}").fetchall()]
            for name in [*FINDING_MODELS, "all_findings"]
        }
    first = shapes["all_findings"]
    assert [name for name, _ in first] == SHAPE
    assert {name for name, shape in shapes.items() if shape != first} == set()


def test_every_rule_that_reports_has_a_model_and_every_model_a_rule(
    models: list[dict[str, Any]],
) -> None:
    built = sorted(
        m["name"]
        for m in models
        if _layer(m) == "findings" and m["name"].startswith("finding_")
    )
    assert built == FINDING_MODELS


def test_every_source_of_records_says_how_fresh_it_is(empty_build: EmptyBuild) -> None:
    timed = {
        source["name"]
        for source in empty_build.manifest["sources"].values()
        if source["source_name"] == "accepted" and source["freshness"] and source["loaded_at_query"]
    }
    assert timed == set(GROUP_FEEDS)


def test_the_data_tests_count_the_records_of_every_feed(empty_build: EmptyBuild) -> None:
    counted = yaml.safe_load((PROJECT / "dbt_project.yml").read_text())["vars"]["group_feeds"]
    assert counted == list(GROUP_FEEDS)


def test_the_place_of_a_held_back_record_is_looked_for_in_every_feed_that_names_one(
    empty_build: EmptyBuild,
) -> None:
    naming = {name for name, feed in GROUP_FEEDS.items() if "location_id" in feed.column_names}
    model = empty_build.manifest["nodes"]["model.ledgerstone.held_back_records"]
    read = {node.split(".")[-1] for node in model["depends_on"]["nodes"]}
    # Cases are staged with their held records among them.
    assert {n for n in naming if not read & {f"stg_held_{n}", f"stg_{n}"}} == set()
