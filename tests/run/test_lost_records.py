"""What an export lost hides nothing: the start of an act, a receipt, a case, who cremated."""

from collections.abc import Iterator
from pathlib import Path

import duckdb
import pytest

from pipelines.run.database import reading
from tests.run.small_group import write_export
from tests.run.test_bad_input import ledgerstone

#: Of a case with nothing on file; PAPERS makes it lawful.
PAPERS = {
    "permit_number": "P-1", "permit_issued_at": "2026-11-02T10:00-06:00",
    "cremation_authorised_at": "2026-11-02T11:00-06:00",
    "medical_clearance_at": "2026-11-02T12:00-06:00", "implant_present": "N",
}  # fmt: skip
NO_PAPERS = dict.fromkeys(PAPERS, "")
ALL_FOUR = ["authorisation_missing", "clearance_missing", "implant_unanswered", "permit_missing"]

Event = dict[str, str]


def _person(case: str, family_name: str, papers: dict[str, str]) -> dict[str, str]:
    return papers | {
        "case_number": case, "permit_number": f"P-{case}",
        "family_name": family_name, "given_name": "Ines",
        "date_of_death": "2026-11-01", "first_call_at": "2026-11-01T09:00-06:00",
        "disposition_code": "C", "disposition_instruction": "cremate_collect",
    }  # fmt: skip


def _event(action: str, at: str, **given: str) -> Event:
    nothing = dict.fromkeys(("from_party", "to_party", "place_id", "disc_number", "item_count"), "")
    return nothing | {
        "occurred_at": f"2026-11-{at}:00-06:00", "action": action, "band_number": "@",
        "identifiers_matched": "3",
    } | given  # fmt: skip


def _of(case: str, *events: Event) -> Iterator[Event]:
    for number, event in enumerate(events):
        named = {name: value.replace("@", case) for name, value in event.items()}
        yield named | {"event_id": f"{case}-{number}", "case_number": case}


RECEIVED = _event(
    "received", "01T10", from_party="hospital:RIVER", to_party="ALDER", place_id="hospital:RIVER"
)
BROUGHT = (
    _event("departed", "01T11", place_id="vehicle:V1"),
    _event("arrived", "01T12", place_id="ALDER"),
)
ENDED = _event("cremation_finished", "05T11", disc_number="@")
LET_GO = _event(
    "released", "05T09", from_party="ALDER", to_party="crematory:OUT", place_id="crematory:OUT"
)
LIFTED = _event("hold_lifted", "02T10")
RETURNED = _event(
    "received", "06T09", from_party="crematory:OUT", to_party="ALDER", place_id="ALDER"
)
CAME_BACK = _event("remains_received", "06T09", disc_number="@", item_count="1", place_id="ALDER")


@pytest.fixture(scope="module")
def warehouse(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("lost")
    drop = folder / "drop"
    write_export(drop, "locations", "locations-2026-11-16.csv", {})
    write_export(
        drop, "cases", "cases-2026-11-16.csv",
        _person("ENDED", "Okonski", NO_PAPERS), _person("ENDED-OK", "Tamblyn", PAPERS),
        _person("OUT", "Reyes", NO_PAPERS), _person("OUT-OK", "Zellwood", PAPERS),
        _person("STRAY", "Vantreese", PAPERS), _person("STRAY-OK", "Ludovic", PAPERS),
        _person("RETURNED", "Moorcastle", PAPERS),
        _person("LOST", "Quillabee", PAPERS), _person("KEPT", "Quilabee", PAPERS),
    )  # fmt: skip
    write_export(
        drop, "custody_events", "custody_events-2026-11-16.csv",
        *_of("ENDED", RECEIVED, *BROUGHT, ENDED),
        *_of("ENDED-OK", RECEIVED, *BROUGHT, ENDED),
        *_of("OUT", RECEIVED, *BROUGHT, LET_GO, CAME_BACK),
        *_of("OUT-OK", RECEIVED, *BROUGHT, LET_GO, CAME_BACK),
        *_of("STRAY", RECEIVED, *BROUGHT, LIFTED, _event("hold_placed", "02T11")),
        *_of("STRAY-OK", RECEIVED, *BROUGHT, _event("hold_placed", "02T09"), LIFTED),
        *_of("RETURNED", RECEIVED, *BROUGHT, LET_GO, RETURNED),
        *_of("LOST", *BROUGHT),
        *_of("KEPT", RECEIVED, *BROUGHT),
        *_of("NO-CASE", RECEIVED, *BROUGHT, _event("cremation_started", "05T09"), ENDED),
    )  # fmt: skip
    done = ledgerstone("run", drop, "--warehouse", folder / "w.duckdb", "--site", folder / "site",
                       "--as-of", "2026-11-16T12:00Z")  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return folder / "w.duckdb"


@pytest.fixture
def con(warehouse: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    with reading(warehouse) as con:
        yield con


def _critical(con: duckdb.DuckDBPyConnection, case: str) -> list[str]:
    found = con.execute(
        "select rule_code from marts.findings where case_number = ? and severity = 'critical' "
        "order by rule_code",
        [case],
    ).fetchall()
    return [code for (code,) in found]


@pytest.mark.parametrize("case", ["ENDED", "OUT"])
def test_a_cremation_told_by_its_end_or_by_what_came_back_needed_its_papers(
    con: duckdb.DuckDBPyConnection, case: str
) -> None:
    assert _critical(con, case) == ALL_FOUR
    assert _critical(con, f"{case}-OK") == []


def test_a_cremation_of_whom_the_group_has_no_case_is_told(con: duckdb.DuckDBPyConnection) -> None:
    assert _critical(con, "NO-CASE") == ["permit_missing"]


def test_a_lifting_of_no_hold_lifts_none_of_a_later_one(con: duckdb.DuckDBPyConnection) -> None:
    told = con.execute(
        "select case_number, clearance_state, against from marts.clearances "
        "where case_number like 'STRAY%' order by 1"
    ).fetchall()
    assert told == [
        ("STRAY", "must not move", "a hold is in force (event STRAY-4)"),
        ("STRAY-OK", "no objection on record", None),
    ]


def test_somebody_whose_receipt_is_missing_is_compared_by_name(
    con: duckdb.DuckDBPyConnection,
) -> None:
    pairs = con.execute(
        "select case_number, other_case_number from marts.findings "
        "where rule_code = 'similar_names'"
    ).fetchall()
    assert pairs == [("LOST", "KEPT")]


def test_who_comes_back_after_a_release_is_in_the_census(con: duckdb.DuckDBPyConnection) -> None:
    """Released to the wrong firm and brought back: a chain that breaks, and a person here."""
    told = con.execute(
        "select case_number, party_id, place_id, certainty from marts.census "
        "where case_number in ('RETURNED', 'OUT-OK')"
    ).fetchall()
    assert told == [("RETURNED", "ALDER", "ALDER", "contradicted")]
