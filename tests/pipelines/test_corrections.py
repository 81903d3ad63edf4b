"""Known errors of a source, corrected by the group's own decision: visibly, and with an end."""

import unicodedata
from datetime import date

import pytest

from pipelines.feeds import FEEDS
from pipelines.load.versions import rank_versions
from pipelines.sources import Settings
from tests.pipelines.conftest import Bench
from validation.contracts.after_export import reject_after_export
from validation.notes import note_records
from validation.parse import parse_feed
from validation.parse.corrections import find_corrections, find_strangers

TODAY = date(2026, 11, 16)
CASES = "cases-2026-11-16.csv"
SEX = {"file_name": CASES, "record_key": "AL-26-0001", "column_name": "sex", "was": "F",
       "becomes": "M", "expires_on": "2026-11-16"}  # fmt: skip


def _judge(bench: Bench, settings: Settings | None = None) -> list[tuple[object, ...]]:
    """Read the drop as a run does; (column, state, detail) of each correction."""
    settings = settings or Settings()
    for table in ("corrections", "outdated", "rejects", "notes", "changes"):
        bench.con.execute(f"delete from quality.{table}")
    bench.load()
    for feed in (FEEDS[name] for name in ("corrections", "locations", "cases")):
        rank_versions(bench.con, feed, settings)
        find_corrections(bench.con, feed, settings, TODAY)
        parse_feed(bench.con, feed, settings)
    find_strangers(bench.con)
    return bench.rows(
        "select column_name, state, detail from quality.corrections order by column_name, state"
    )


@pytest.fixture
def group(bench: Bench) -> Bench:
    bench.feed_file("locations", {})
    bench.feed_file("cases", {}, {"case_number": "AL-26-0002", "body_weight_kg": "seventy"})
    return bench


def test_an_applied_correction_changes_what_counts_and_leaves_the_raw_text(group: Bench) -> None:
    group.feed_file("corrections", SEX, {
        **SEX, "record_key": "AL-26-0002", "column_name": "body_weight_kg", "was": "seventy",
        "becomes": "70"}, {**SEX, "column_name": "band_number", "was": "B-100001", "becomes": ""},
    )  # fmt: skip
    assert [row[:2] for row in _judge(group)] == [
        ("band_number", "applied"), ("body_weight_kg", "applied"), ("sex", "applied"),
    ]  # fmt: skip
    assert group.rows(
        "select sex, cast(body_weight_kg as integer), band_number from accepted.cases order by line"
    ) == [("M", 68, None), ("F", 70, "B-100001")]
    assert group.rows("select distinct sex from raw.cases") == [("F",)]
    assert group.rows("select * from quality.rejects") == []


def test_an_applied_value_is_read_as_strictly_as_any(group: Bench) -> None:
    group.feed_file("corrections", {**SEX, "column_name": "body_weight_kg", "was": "68",
                                    "becomes": "sixty"})  # fmt: skip
    _judge(group)
    assert group.rows("select rule_code, value from quality.rejects where line = 2") == [
        ("not_a_number", "sixty")
    ]


@pytest.mark.parametrize(
    ("change", "state", "note"),
    [
        ({"expires_on": "2026-11-15"}, "expired", "correction_expired"),
        ({"was": "M", "becomes": "F"}, "not needed", "correction_not_needed"),
        ({"was": "U"}, "does not fit", "correction_does_not_fit"),
        ({"record_key": "AL-26-9999"}, "does not fit", "correction_does_not_fit"),
        ({"column_name": "hue"}, "does not fit", "correction_does_not_fit"),
        ({"column_name": "case_number", "was": "AL-26-0001"}, "does not fit",
         "correction_does_not_fit"),
        ({"file_name": "cases-2026-11-17.csv"}, "does not fit", "correction_does_not_fit"),
    ],
)  # fmt: skip
def test_what_is_not_applied_is_said_aloud(
    group: Bench, change: dict[str, str], state: str, note: str
) -> None:
    group.feed_file("corrections", SEX | change)
    ((_, found, detail),) = _judge(group)
    assert (found, bool(detail)) == (state, True)
    assert group.rows("select sex from accepted.cases where line = 2") == [("F",)]
    note_records(group.con)
    assert group.rows("select rule_code, line from quality.notes") == [(note, 2)]


def test_a_newer_export_of_the_record_ends_the_need(group: Bench) -> None:
    group.feed_file("corrections", SEX)
    group.feed_file("cases", {"sex": "U"}, name="cases-2026-11-17.csv")
    assert _judge(group) == [
        ("sex", "not needed", "The record no longer counts: cases-2026-11-17.csv is newer.")
    ]
    assert group.rows("select sex from accepted.cases where case_number = 'AL-26-0001'") == [
        ("U",)
    ]


def test_a_correction_that_a_newer_file_of_corrections_leaves_out_is_withdrawn(
    group: Bench,
) -> None:
    group.feed_file("corrections", SEX, name="corrections-2026-11-16.csv")
    group.feed_file("corrections", name="corrections-2026-11-17.csv")
    assert _judge(group) == []
    assert group.rows("select sex from accepted.cases where line = 2") == [("F",)]


@pytest.mark.parametrize(
    "change",
    [{"expires_on": "whenever"}, {"expires_on": ""}, {"reason": ""}, {"decided_by": ""},
     {"column_name": "", "was": ""}],
)  # fmt: skip
def test_a_correction_without_reason_owner_or_end_is_not_applied(
    group: Bench, change: dict[str, str]
) -> None:
    group.feed_file("corrections", SEX | change)
    assert _judge(group) == []
    assert group.rows("select sex from accepted.cases where line = 2") == [("F",)]


@pytest.mark.parametrize("newer", [{}, {"given_name": "Another"}], ids=["repeated", "replaced"])
def test_a_newer_export_that_is_still_wrong_is_said_aloud(
    group: Bench, newer: dict[str, str]
) -> None:
    group.feed_file("corrections", SEX)
    group.feed_file("cases", newer, name="cases-2026-11-17.csv")
    ((_, state, detail),) = _judge(group)
    assert (state, detail) == (
        "does not fit",
        "cases-2026-11-17.csv is newer and still says F: the correction must name that file.",
    )


def test_a_record_that_stands_twice_in_its_file_is_corrected_and_told_once(group: Bench) -> None:
    group.feed_file("corrections", SEX)
    group.feed_file("cases", {}, {})
    assert _judge(group) == [("sex", "applied", None)]


def test_of_two_files_of_one_name_the_correction_is_of_the_one_that_counts(group: Bench) -> None:
    group.feed_file("corrections", SEX | {"file_name": "cases.csv"})
    (group.drop / CASES).unlink()
    group.feed_file("cases", {"given_name": "Older"}, name="cases.csv")
    assert _judge(group) == [("sex", "applied", None)]
    group.con.execute("update raw.files set loaded_at = loaded_at - interval 1 day")
    group.feed_file("cases", {"given_name": "Newer"}, name="cases.csv")
    assert _judge(group) == [("sex", "applied", None)]
    assert group.rows("select given_name, sex from accepted.cases") == [("Newer", "M")]


def test_a_value_fits_however_its_accents_are_spelled(group: Bench) -> None:
    apart = unicodedata.normalize("NFD", "Jos\u00e9")
    group.feed_file("corrections", SEX | {"column_name": "given_name", "was": apart})
    group.feed_file("cases", {"given_name": apart})
    assert _judge(group) == [("given_name", "applied", None)]


@pytest.mark.parametrize(("becomes", "said"), [("2026-11-20T09:00-06:00", 0), ("2026-11-23", 1)])
def test_a_corrected_instant_is_judged_by_the_export_of_its_correction(
    bench: Bench, becomes: str, said: int
) -> None:
    """What came in after the cases were exported is no act before its time."""
    bench.feed_file("locations", {})
    bench.feed_file("cases", {"permit_issued_at": ""})
    bench.feed_file(
        "corrections",
        {**SEX, "column_name": "permit_issued_at", "was": "", "becomes": becomes},
        name="corrections-2026-11-20.csv",
    )
    assert _judge(bench)[0][1] == "applied"
    reject_after_export(bench.con, FEEDS["cases"])
    assert len(bench.rows("select * from quality.rejects")) == said
