"""What two people share is in doubt for both of them, on every way to ask."""

from pathlib import Path

import pytest

from pipelines.run.database import reading
from tests.run.small_group import write_export
from tests.run.test_bad_input import ledgerstone


def _brought_in(case: str, hour: str, band: str) -> list[dict[str, str]]:
    common = {
        "case_number": case, "from_party": "", "to_party": "", "band_number": band,
        "place_id": "hospital:RIVER", "identifiers_matched": "3", "recorded_at": "",
    }  # fmt: skip
    banded = {"event_id": f"{case}-1", "action": "band_attached", "occurred_at": f"{hour}:00-06:00"}
    received = {
        "event_id": f"{case}-2", "action": "received", "occurred_at": f"{hour}:10-06:00",
        "from_party": "hospital:RIVER", "to_party": "ALDER",
    }  # fmt: skip
    return [common | banded, common | received]


def _person(case: str, name: str) -> dict[str, str]:
    return {
        "case_number": case, "family_name": name, "given_name": "Ines",
        "date_of_death": "2026-11-13", "first_call_at": "2026-11-13T10:00-06:00",
    }  # fmt: skip


@pytest.fixture(scope="module")
def warehouse(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A-1 and A-2 bear one band, A-3 another."""
    folder = tmp_path_factory.mktemp("two")
    drop = folder / "drop"
    write_export(drop, "locations", "locations-2026-11-16.csv", {})
    write_export(
        drop, "cases", "cases-2026-11-16.csv",
        _person("A-1", "Okonski"), _person("A-2", "Tamblyn"), _person("A-3", "Reyes"),
    )  # fmt: skip
    write_export(
        drop, "custody_events", "custody_events-2026-11-16.csv",
        *_brought_in("A-1", "2026-11-14T09", "B-SAME"),
        *_brought_in("A-2", "2026-11-15T09", "B-SAME"),
        *_brought_in("A-3", "2026-11-15T10", "B-OWN"),
    )  # fmt: skip
    done = ledgerstone("run", drop, "--warehouse", folder / "w.duckdb", "--site", folder / "site",
                       "--as-of", "2026-11-16T12:00Z")  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    return folder / "w.duckdb"


def test_both_are_contradicted_in_the_census_and_must_not_move(warehouse: Path) -> None:
    with reading(warehouse) as con:
        told = con.execute(
            "select case_number, certainty, clearance_state from marts.clearances order by 1"
        ).fetchall()
        findings = con.execute(
            "select case_number, other_case_number from marts.findings "
            "where rule_code = 'band_on_two_people'"
        ).fetchall()
    assert findings == [("A-2", "A-1")]
    assert [row[:2] for row in told] == [
        ("A-1", "contradicted"), ("A-2", "contradicted"), ("A-3", "proven"),
    ]  # fmt: skip
    assert [row[2] == "must not move" for row in told] == [True, True, False]


@pytest.mark.parametrize("case", ["A-1", "A-2"])
def test_both_are_told_by_trace_sheet_and_sample(
    warehouse: Path, tmp_path: Path, case: str
) -> None:
    told = ledgerstone("trace", case, "--warehouse", warehouse).stdout
    assert "Before moving: must not move; where and who: contradicted" in told
    assert "band_on_two_people: Band B-SAME" in told
    made = ledgerstone("trace", case, "--warehouse", warehouse, "--sheet", tmp_path)
    sheet = Path(made.stdout.removeprefix("Case sheet: ").strip()).read_text(encoding="utf-8")
    assert "must not move now: custody is contradicted" in sheet
    assert "Band B-SAME was read on this person" in sheet
    drawn = ledgerstone("sample", "--warehouse", warehouse, "--seed", "1").stdout
    assert f"{case}  ALDER  custody contradicted, " in drawn
