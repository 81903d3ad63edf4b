"""What was done cannot be dated after the export that says so; what is planned can.

Zones: the last place where a day ends is UTC-12, the first where it begins UTC+14 (IANA zone
database: Etc/GMT+12, Pacific/Kiritimati). Five minutes for clocks that differ: common practice, no
source. The files of the court are named by 2026-11-16.
"""

from datetime import datetime

import pytest

from pipelines.feeds import FEEDS, Column, Form
from pipelines.load import find_files, load_drop
from pipelines.sources import Settings
from pipelines.sources.match import match
from tests.validation.conftest import LOADED_AT
from validation.catalogue import Edit, Example

ACTS = [(feed.name, c) for feed in FEEDS.values() for c in feed.columns if c.is_of_the_past]


def said(court, feed: str, **record: str) -> set[tuple[str, str | None]]:
    rejects = court.judge_example(Example(feed, records=(record,)))
    return {(r.rule, r.column) for r in rejects}


@pytest.mark.parametrize(("feed", "column"), ACTS, ids=lambda v: getattr(v, "name", v))
def test_no_act_and_no_document_is_dated_after_its_export(court, feed: str, column: Column) -> None:
    late = "2027-06-01" if column.form is Form.DATE else "2027-06-01T09:30Z"
    assert ("dated_after_export", column.name) in said(court, feed, **{column.name: late})


def test_every_instant_and_day_is_of_the_past_but_what_is_planned_or_holds_until_a_day() -> None:
    timed = {(feed.name, c.name) for feed in FEEDS.values() for c in feed.columns
             if c.form in {Form.INSTANT, Form.PAPER, Form.DATE}}  # fmt: skip
    assert timed - {(feed, column.name) for feed, column in ACTS} == {
        ("cases", "service_at"), ("price_lists", "effective_from"),
        ("locations", "opened_date"), ("locations", "closed_date"),
        ("supply_movements", "expires_date"),
        ("corrections", "expires_on"), ("finding_answers", "expires_on"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("feed", "record"),
    [
        ("cases", {"service_at": "2027-06-01T09:30Z"}),
        ("price_lists", {"effective_from": "2027-06-01"}),
        ("supply_movements", {"expires_date": "2029-06-01"}),
        ("locations", {"closed_date": "2027-06-01"}),
        ("custody_events", {"occurred_at": "2026-11-17T12:05Z", "recorded_at": ""}),
        ("cases", {"permit_issued_at": "2026-11-18"}),
        ("cases", {"permit_issued_at": ""}),
        ("statement_lines", {"document_date": "2026-11-18"}),
        ("supplier_bill_lines", {"bill_date": "2026-11-18"}),
    ],
)
def test_what_is_planned_or_may_lie_before_the_export_is_accepted(
    court, feed: str, record: dict[str, str]
) -> None:
    assert said(court, feed, **record) == set()


@pytest.mark.parametrize(
    ("feed", "record"),
    [
        ("custody_events", {"occurred_at": "2026-11-17T12:05:01Z", "recorded_at": ""}),
        ("custody_events", {"recorded_at": "2026-11-17T12:05:01Z"}),
        ("cases", {"permit_issued_at": "2026-11-17T12:05:01Z"}),
        ("cases", {"permit_issued_at": "2026-11-19"}),
        ("statement_lines", {"document_date": "2026-11-19"}),
        ("supplier_bill_lines", {"bill_date": "2026-11-19"}),
    ],
)
def test_the_first_second_that_no_zone_allows_is_held_back(
    court, feed: str, record: dict[str, str]
) -> None:
    (column,) = [name for name, value in record.items() if value]
    assert said(court, feed, **record) == {("dated_after_export", column)}


def test_a_wrong_year_that_was_corrected_holds_one_record_and_not_the_chain(court) -> None:
    wrong = Edit("stored", change={"occurred_at": "2027-06-01T09:00-05:00"})
    right = Edit("again", change={**court._steps["stored"], "corrects_event_id": "stored"})
    rejects = court.judge_example(Example("custody_events", chain=(wrong, right)))
    assert [(r.rule, r.key) for r in rejects] == [("dated_after_export", court.number("stored"))]


def test_a_wrong_year_that_stands_holds_the_whole_chain(court) -> None:
    wrong = Edit("stored", change={"occurred_at": "2027-06-01T09:00-05:00"})
    rejects = court.judge_example(Example("custody_events", chain=(wrong,)))
    assert {r.rule for r in rejects} == {"dated_after_export", "chain_held"}
    assert len({r.key for r in rejects}) == len(court.chain())


@pytest.mark.parametrize(
    ("name", "latest"),
    [
        ("cases-2026-11-16.csv", "2026-11-17T12:00"),
        ("cases-2026-11-16T08:30.csv", "2026-11-16T20:31"),
        # A running number, a branch, a clock of twelve hours: no time of day for sure.
        ("cases-2026-11-16_0830.csv.gz", "2026-11-17T12:00"),
        ("cases_2026-11-16_0001.csv", "2026-11-17T12:00"),
        ("cases 2026-11-16 08.30 PM.csv", "2026-11-17T12:00"),
        ("cases-2026-11-16T083015Z.csv", "2026-11-16T20:31"),
        # A name may tell the days that the file is about beside that of its export.
        ("cases-2026-11-01_2026-11-16.csv", "2026-11-17T12:00"),
        ("cases-20261116.csv", "2026-11-17T12:00"),
        ("cases_20261116_0830.csv.gz", "2026-11-17T12:00"),
        ("cases_20261116T0830.csv", "2026-11-16T20:31"),
        ("cases_20261101_20261116.csv", "2026-11-17T12:00"),
        # Numbers: too long, no day, of no year that an export can be of.
        ("cases-202611160830.csv", None),
        ("cases-120261116.csv", None),
        ("cases-20261331.csv", None),
        ("cases-19991231.csv", None),
        ("cases-21000101.csv", None),
        ("cases_2026-02-30.csv", None),
        ("cases.csv", None),
        ("cases-9999-12-31.csv", "9999-12-31T23:59:59.999999"),
    ],
)
def test_a_name_is_taken_at_the_latest_instant_that_it_can_mean(
    name: str, latest: str | None
) -> None:
    found = match(name, Settings()).exported_at_latest
    assert (found and found.replace(tzinfo=None)) == (latest and datetime.fromisoformat(latest))


@pytest.mark.parametrize(
    ("name", "pattern", "latest"),
    [
        ("c_20261116.csv", "%Y%m%d", "2026-11-17T12:00"),
        ("c_16.11.2026_08.csv", "%d.%m.%Y_%H", "2026-11-16T21:00"),
        ("c_20261116083015.csv", "%Y%m%d%H%M%S", "2026-11-16T20:30:16"),
        ("c_2026-11.csv", "%Y-%m", "2026-12-01T12:00"),
        ("c_2026.csv", "%Y", "2027-01-01T12:00"),
        ("c_november.csv", "%Y%m%d", None),
    ],
)
def test_a_pattern_of_the_settings_ends_with_what_it_names(
    name: str, pattern: str, latest: str | None
) -> None:
    settings = Settings.model_validate({"sources": {"home": {
        "exported": pattern, "feeds": {"cases": {"files": ["c_*"]}},
    }}})  # fmt: skip
    found = match(name, settings).exported_at_latest
    assert (found and found.replace(tzinfo=None)) == (latest and datetime.fromisoformat(latest))


def test_the_same_bytes_exported_later_are_judged_by_the_later_export(court, tmp_path) -> None:
    assert said(court, "air_samples", started_at="2027-06-01T09:30Z")
    text = court._csv("air_samples", [{"started_at": "2027-06-01T09:30Z"}])
    (tmp_path / "air_samples-2027-06-02.csv").write_text(text, encoding="utf-8")
    load_drop(court.con, find_files(tmp_path), LOADED_AT)
    assert court.judge_typed("air_samples") == []
