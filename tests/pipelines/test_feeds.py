"""The declaration of a feed and everything that is made from it agree."""

import csv
from pathlib import Path

import pytest
from click.testing import CliRunner

import pipelines.feeds
import validation.contracts.records
from pipelines.command.template import command as template
from pipelines.feeds import DECISIONS, FEEDS, GROUP_FEEDS, Feed
from pipelines.feeds.declare import WRITTEN, Form
from pipelines.feeds.price_lists import SIXTEEN
from validation.contracts.records import FeedRules, rules_for

feeds = pytest.mark.parametrize("feed", FEEDS.values(), ids=list(FEEDS))


@feeds
def test_raw_table_has_every_declared_column_as_text(feed: Feed, bench) -> None:
    columns = bench.rows(f"select column_name, data_type from information_schema.columns "
                         f"where table_schema = 'raw' and table_name = '{feed.name}' "
                         f"order by ordinal_position")  # fmt: skip
    assert [name for name, _ in columns] == [*feed.column_names, "extra_fields", "file_id", "line"]
    assert {kind for name, kind in columns if name != "line"} == {"VARCHAR"}


@feeds
def test_accepted_and_held_have_the_typed_columns(feed: Feed, bench) -> None:
    expected = [(t.name, t.sql_type) for t in feed.typed_columns]
    for schema in ("accepted", "held"):
        assert bench.rows(
            f"select column_name, data_type from information_schema.columns where table_schema = "
            f"'{schema}' and table_name = '{feed.name}' order by ordinal_position"
        ) == expected


@feeds
def test_template_is_a_blank_file_that_the_reader_proves(feed: Feed, bench, tmp_path: Path) -> None:
    done = CliRunner().invoke(template, [feed.name, "--output", str(tmp_path / "out")])
    assert done.exit_code == 0, done.output
    written = tmp_path / "out" / f"{feed.name}.csv"
    assert next(csv.reader(written.open())) == list(feed.column_names)
    bench.write(f"{feed.name}-2026-11-16.csv", written.read_bytes())
    summary = bench.load()
    assert summary.set_aside == {}
    page = (tmp_path / "out" / f"{feed.name}.md").read_text()
    assert all(column.meaning in page for column in feed.columns)


@feeds
def test_declared_example_of_every_column_can_be_read(feed: Feed, bench) -> None:
    bench.feed_file("locations", {})
    bench.feed_file(feed.name, {})
    bench.parse()
    assert bench.rows("select rule_code, column_name, value from quality.rejects") == []


@feeds
def test_every_required_column_has_an_example_and_every_column_a_meaning(feed: Feed) -> None:
    for column in feed.columns:
        assert column.meaning.endswith("."), column.name
        assert column.example or not column.is_required, column.name
        assert not column.allowed or column.example in {*column.allowed, ""}, column.name


def test_the_help_of_template_names_every_feed() -> None:
    said = CliRunner().invoke(template, ["--help"]).output
    assert {name for name in FEEDS if name not in said} == set()


def test_references_point_to_declared_columns_of_feeds_that_are_read_before() -> None:
    order = list(FEEDS)
    for feed in FEEDS.values():
        for column in feed.columns:
            if column.refers_to:
                target, name = column.refers_to.split(".")
                assert name in FEEDS[target].column_names
                stands_before = order.index(target) < order.index(feed.name)
                assert stands_before or feed.name not in GROUP_FEEDS, f"order of {feed.name}"


def test_every_module_that_declares_a_feed_is_known_by_its_name() -> None:
    folder = Path(pipelines.feeds.__file__).parent
    modules = {path.stem for path in folder.glob("*.py") if "\nFEED = Feed(" in path.read_text()}
    assert {*GROUP_FEEDS, *DECISIONS} == modules


def test_every_module_of_record_rules_is_that_of_a_feed() -> None:
    folder = Path(validation.contracts.records.__file__).parent
    modules = {path.stem for path in folder.glob("*.py") if "\nRULES = " in path.read_text()}
    assert {name for name in FEEDS if rules_for(FEEDS[name]) != FeedRules()} == modules


def test_every_form_says_how_it_is_written() -> None:
    assert set(WRITTEN) == set(Form)


def test_the_price_list_has_the_sixteen_items_of_the_rule() -> None:
    """16 CFR 453.2(b)(4)(ii)(A)-(M) are thirteen services, (iii)(A)-(C) three more."""
    assert len(SIXTEEN) == len(set(SIXTEEN)) == 13 + 3


def test_coded_values_are_those_of_the_vital_records_standard() -> None:
    """IJE mortality file as mapped in HL7 VRDR: DPLACE, DISP, SEX."""
    cases = FEEDS["cases"]
    assert set(cases.column("place_of_death_code").allowed) == set("1234567") | {"9"}
    assert set(cases.column("disposition_code").allowed) == set("BCDEROU")
    assert set(cases.column("sex").allowed) == set("MFU")
