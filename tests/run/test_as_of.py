"""What the marts say is what was so at the as-of instant, whatever is dated after it."""

import csv
import re
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import duckdb
import pytest

from pipelines.command.demo import AS_OF, DROP
from pipelines.run.database import reading
from pipelines.run.pipeline import RunRequest, run_pipeline
from tests.run.test_bad_input import ledgerstone

EARLIER = datetime(2026, 9, 1, 3, 30, tzinfo=UTC)
AFTER_ALL = datetime(2027, 2, 1, 12, tzinfo=UTC)
HOMES = ZoneInfo("America/Chicago")
EVENTS = "custody_events-2026-11-16.csv"

#: Where accepted events leave each person, told without the models: the newest that names a place.
_WHERE = """
    select case_number, arg_max(place_id, (occurred_at, recorded_at, event_id)) as place_id
    from accepted.custody_events as events
    where occurred_at <= $at and action <> 'counted' and place_id is not null
        and not exists (
            select 1 from accepted.custody_events as later
            where later.case_number = events.case_number
                and later.corrects_event_id = events.event_id
        )
    group by case_number
"""


@pytest.fixture(scope="module")
def earlier(tmp_path_factory: pytest.TempPathFactory) -> Iterator[duckdb.DuckDBPyConnection]:
    """The whole drop, asked about an instant ten weeks before its newest events."""
    warehouse = tmp_path_factory.mktemp("earlier") / "w.duckdb"
    run_pipeline(RunRequest(DROP, warehouse, None, EARLIER))
    with reading(warehouse) as con:
        yield con


def test_everyone_is_where_the_newest_event_up_to_then_left_them(earlier) -> None:
    at = {"at": EARLIER.replace(tzinfo=None)}
    people = dict(
        earlier.execute(
            "select case_number, place_id from marts.census where certainty = 'proven'"
        ).fetchall()
    )
    moved_since = {
        case
        for (case,) in earlier.execute(
            "select distinct case_number from accepted.custody_events "
            "where occurred_at > $at and action in ('departed', 'arrived')", at
        ).fetchall()
    }  # fmt: skip
    assert len(set(people) & moved_since) > 10
    left = dict(earlier.execute(_WHERE, at).fetchall())
    assert people == {case: left[case] for case in people}


def test_the_mart_of_an_earlier_instant_is_the_census_that_a_later_run_tells_of_it(
    earlier, demo
) -> None:
    told = demo.execute(
        "select case_number, place_id, party_id, storage_unit from marts.custody_legs "
        "where started_at <= $at and coalesce(ended_at > $at, true) order by 1",
        {"at": EARLIER.replace(tzinfo=None)},
    ).fetchall()
    people = earlier.execute(
        "select case_number, place_id, party_id, storage_unit from marts.census order by 1"
    ).fetchall()
    assert people == told


def test_papers_and_acts_that_came_later_were_not_there_yet(earlier, demo) -> None:
    """Who is cleared to move is told by the permits of then."""
    later = {
        case
        for (case,) in demo.execute(
            "select case_number from accepted.cases where permit_issued_at > $at",
            {"at": EARLIER.replace(tzinfo=None)},
        ).fetchall()
    }
    states = dict(
        earlier.execute(
            "select case_number, outstanding from marts.clearances"
        ).fetchall()
    )
    waiting = set(states) & later
    assert len(waiting) >= 3
    assert all("permit outstanding" in (states[case] or "") for case in waiting)
    last = earlier.execute(
        "select greatest(max(last_at), (select max(occurred_at) from marts.custody_line)) "
        "from marts.custody_cases"
    ).fetchall()[0][0]
    assert last <= EARLIER.replace(tzinfo=None)


@pytest.fixture(scope="module")
def cut(tmp_path_factory: pytest.TempPathFactory) -> Iterator[duckdb.DuckDBPyConnection]:
    """The drop without what its files date after ``EARLIER``, asked about that instant."""
    drop = Path(shutil.copytree(DROP, tmp_path_factory.mktemp("cut") / "drop"))
    day = EARLIER.astimezone(HOMES).date().isoformat()
    for feed, column in DATED.items():
        path = drop / f"{feed}-2026-11-16.csv"
        with path.open(encoding="utf-8", errors="surrogateescape", newline="") as stream:
            head, *records = csv.reader(stream)
        place = head.index(column)
        with path.open("w", encoding="utf-8", errors="surrogateescape", newline="") as stream:
            kept = (record for record in records if not _is_later(record[place:place + 1], day))
            csv.writer(stream, lineterminator="\n").writerows(
                [head, *(_still_open(head, record, day) for record in kept)]
            )
    for name in ("air_care_20261116.csv", "stock_care_20261116.csv"):
        path = drop / name
        lines = path.read_bytes().splitlines(keepends=True)
        path.write_bytes(b"".join(line for line in lines if not _is_of_later(line)))
    warehouse = drop.parent / "w.duckdb"
    run_pipeline(RunRequest(drop, warehouse, None, EARLIER))
    with reading(warehouse) as con:
        yield con


#: What dates the records of each feed.
DATED = {
    "cases": "first_call_at", "custody_events": "occurred_at", "supply_movements": "occurred_at",
    "air_samples": "started_at", "statement_lines": "document_date",
    "supplier_bill_lines": "bill_date",
}  # fmt: skip


def _still_open(head: list[str], record: list[str], day: str) -> list[str]:
    """The record; of a case that was closed later, as it stood."""
    closed = head.index("closed_at") if "closed_at" in head else len(record)
    if not _is_later(record[closed : closed + 1], day):
        return record
    stood = dict(zip(head, record, strict=True)) | {"closed_at": "", "case_status": "open"}
    return list(stood.values())


def _is_later(value: list[str], day: str) -> bool:
    """``value``: an instant or a date as the demo writes them, or none; unreadable text stays."""
    if not value or not re.match(r"20\d\d-\d\d-\d\d", value[0]):
        return False
    if len(value[0]) == 10:
        return value[0] > day
    try:
        at = datetime.fromisoformat(value[0])
    except ValueError:
        return False
    return at.tzinfo is not None and at > EARLIER


def _is_of_later(line: bytes) -> bool:
    """A line of the care centre's own files, which write day/month/year and local time."""
    found = re.match(rb"[^;]*;(\d\d/\d\d/\d{4})(?: (\d\d:\d\d))?;", line)
    if found is None:
        return False
    written = f"{found[1].decode()} {(found[2] or b'00:00').decode()}"
    return datetime.strptime(written, "%d/%m/%Y %H:%M").replace(tzinfo=HOMES) > EARLIER


#: Marts of money, goods and chemicals, with the columns that tell of files rather than of the past.
OF_THE_PAST = {
    "air_samples": "",
    "charges_checked": "file_id, line",
    "chemical_use_by_case": "",
    "chemical_use_by_week": "",
    "due_soon": "file_id, line",
    "merchandise_by_month": "",
    "merchandise_matched": "",
    "price_list_completeness": "",
    "stock_roll_forward": "",
}


@pytest.mark.parametrize("mart", OF_THE_PAST)
def test_an_earlier_instant_tells_what_a_drop_of_then_tells(earlier, cut, mart: str) -> None:
    hidden = f"exclude ({OF_THE_PAST[mart]})" if OF_THE_PAST[mart] else ""
    sql = f"select * {hidden} from marts.{mart} order by all"
    told = cut.execute(sql).fetchall()
    assert len(told) > 1
    assert earlier.execute(sql).fetchall() == told


def test_an_earlier_instant_finds_what_a_drop_of_then_shows(earlier, cut) -> None:
    """But for what a later record of the case puts in doubt: a broken chain is held back whole."""
    sql = (
        "select f.rule_code, f.case_number, f.location_id, f.occurred_at, f.detail "
        "from marts.findings f anti join quality.rejects r "
        "on f.case_number = r.case_number and r.rule_code = 'chain_held' order by all"
    )
    told = cut.execute(sql).fetchall()
    assert len(told) > 30
    assert earlier.execute(sql).fetchall() == told
    sql = "select location_id, case_count, open_count from marts.location_comparison order by 1"
    assert earlier.execute(sql).fetchall() == cut.execute(sql).fetchall()


def test_what_is_dated_later_is_counted_by_file(earlier, demo) -> None:
    later = dict(
        earlier.execute("select feed, sum(later_count) from marts.control_totals group by 1")
        .fetchall()
    )  # fmt: skip
    day = "2026-08-31"  # of the homes; in UTC it is September
    assert later["statement_lines"] == demo.execute(
        "select count(*) from accepted.statement_lines where document_date > $day", {"day": day}
    ).fetchall()[0][0]
    assert later["custody_events"] > later["cases"] > 100
    amounts = earlier.execute(
        "select sum(amount_accepted - amount_later), (select sum(line_total) from "
        "marts.charges_checked) from marts.control_totals where feed = 'statement_lines'"
    ).fetchall()[0]
    assert amounts[0] == amounts[1]
    assert demo.execute("select sum(later_count) from marts.control_totals").fetchall() == [(0,)]


def _row(number: str, case: str, action: str, at: str, **rest: str) -> dict[str, str]:
    return {"event_id": number, "case_number": case, "action": action, "occurred_at": at, **rest}


@pytest.fixture(scope="module")
def ahead(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo with events of next year: AL-26-0079 leaves the care centre for another home, and of
    BI-26-0999, which no other record of custody names, there is only a receipt. BI-26-0998's was
    banded at home and checked at the home's door before such a receipt."""
    drop = Path(shutil.copytree(DROP, tmp_path_factory.mktemp("ahead") / "drop"))
    events = drop / EVENTS
    header = events.read_text(encoding="utf-8").splitlines()[0].split(",")
    with events.open("a", encoding="utf-8", newline="") as stream:
        csv.DictWriter(stream, header, lineterminator="\n").writerows([
            _row("FUT-1", "AL-26-0079", "departed", "2027-01-05T09:00-06:00",
                 place_id="vehicle:V1"),
            _row("FUT-2", "AL-26-0079", "arrived", "2027-01-05T10:00-06:00", place_id="BIRCH"),
            _row("FUT-3", "BI-26-0999", "received", "2027-01-05T09:00-06:00",
                 from_party="hospital:RIVER", to_party="BIRCH", place_id="hospital:RIVER"),
            _row("FUT-4", "BI-26-0998", "received", "2027-01-05T09:00-06:00",
                 from_party="family:QUILLON", to_party="BIRCH", place_id="residence:QUILLON"),
            _row("NOW-5", "BI-26-0998", "band_attached", "2026-11-15T10:00-06:00",
                 band_number="B-QUILLON", place_id="residence:QUILLON"),
            _row("NOW-6", "BI-26-0998", "identity_checked", "2026-11-15T11:00-06:00",
                 identifiers_matched="3", place_id="BIRCH"),
        ])  # fmt: skip
    cases = drop / "cases-2026-11-16.csv"
    names = cases.read_text(encoding="utf-8").splitlines()[0].split(",")
    with cases.open("a", encoding="utf-8", newline="") as stream:
        csv.DictWriter(stream, names, lineterminator="\n").writerows({
            "case_number": case, "location_id": "BIRCH", "case_status": "open",
            "family_name": "Quillon", "date_of_death": "2026-11-14", "place_of_death_code": "1",
            "first_call_at": "2026-11-15T09:00-06:00",
        } for case in ("BI-26-0999", "BI-26-0998"))  # fmt: skip
    return drop


@pytest.mark.parametrize("as_of", [AS_OF, AFTER_ALL])
def test_an_event_dated_after_its_export_is_held_back_and_places_nobody(
    ahead: Path, demo, tmp_path: Path, as_of: datetime
) -> None:
    """A clock set wrong is one record's fault: the others are published, and the census holds."""
    warehouse, site = tmp_path / "w.duckdb", tmp_path / "site"
    done = ledgerstone("run", ahead, "--warehouse", warehouse, "--site", site,
                       "--as-of", as_of.isoformat())  # fmt: skip
    assert done.returncode == 0, done.stderr
    (was,) = demo.execute(
        "select place_id from marts.census where case_number = 'AL-26-0079'"
    ).fetchall()
    with reading(warehouse) as con:
        rejects = con.execute(
            "select record_key, column_name, detail from quality.rejects "
            "where rule_code = 'dated_after_export' and record_key like 'FUT-%' order by 1"
        ).fetchall()
        people = {
            case: rest
            for case, *rest in con.execute(
                "select case_number, place_id, certainty, why from marts.census "
                "where case_number in ('AL-26-0079', 'BI-26-0998', 'BI-26-0999')"
            ).fetchall()
        }
        states = con.execute(
            "select distinct clearance_state from marts.clearances "
            "where case_number in ('AL-26-0079', 'BI-26-0998', 'BI-26-0999')"
        ).fetchall()
    assert [(key, column) for key, column, _ in rejects] == [
        (f"FUT-{number}", "occurred_at") for number in (1, 2, 3, 4)
    ]
    assert "exported on 2026-11-16; in no zone was that after 2026-11-17 12:00 UTC" in rejects[0][2]
    assert people["AL-26-0079"][:2] == [was[0], "not proven"]
    assert people["BI-26-0999"][:2] == [None, "not proven"]
    # Where the band was put on says nothing of where the person is.
    assert people["BI-26-0998"][:2] == [None, "not proven"]
    assert "of 2 custody records the time is missing or cannot be true" in people["AL-26-0079"][2]
    assert states == [("must not move",)]
    told = ledgerstone("census", "--warehouse", warehouse).stdout
    nowhere, rest = told.split("no place on record: ")[1].split("\n\n", 1)
    assert "BI-26-0999" in nowhere
    assert "BI-26-0998" in nowhere
    assert "since a time not on record" in nowhere
    assert any(line.startswith("  AL-26-0079 ") for line in rest.splitlines())
    assert "BI-26-0999" in (site / "operations" / "census.html").read_text(encoding="utf-8")


def test_a_file_whose_name_says_no_instant_is_judged_by_the_as_of_instant_alone(
    ahead: Path, tmp_path: Path
) -> None:
    drop = Path(shutil.copytree(ahead, tmp_path / "drop"))
    (drop / EVENTS).rename(drop / "custody_events.csv")
    warehouse = tmp_path / "w.duckdb"
    run_pipeline(RunRequest(drop, warehouse, None, AS_OF))
    with reading(warehouse) as con:
        held = con.execute(
            "select count(*) from quality.rejects where rule_code = 'dated_after_export' "
            "and feed = 'custody_events'"
        ).fetchall()
        newest = con.execute("select max(occurred_at) from marts.custody_line").fetchall()
    assert held == [(0,)]
    assert newest[0][0] <= AS_OF.replace(tzinfo=None)
    assert AS_OF.replace(tzinfo=None) - newest[0][0] < timedelta(days=1)


def test_files_without_an_export_time_are_told_as_not_judged(tmp_path: Path) -> None:
    drop = tmp_path / "drop"
    shutil.copytree(DROP, drop)
    for name in (EVENTS, "cases-2026-11-16.csv", "locations-2026-11-16.csv"):
        (drop / name).rename(drop / name.replace("-2026-11-16", ""))
    run_pipeline(RunRequest(drop, tmp_path / "w.duckdb", None, AS_OF))
    with reading(tmp_path / "w.duckdb") as con:
        told = con.execute(
            "select state, why from marts.rule_states where rule_code = 'dated_after_export'"
        ).fetchall()
        assert con.execute("select * from quality.rule_gaps where file_name like 'loc%'").df().empty
    why = "Not judged in 2 files, for one: cases.csv does not say when it was exported."
    assert [reason for _, reason in told] == [why]
