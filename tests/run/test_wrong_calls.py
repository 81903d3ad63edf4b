"""Calls of the small commands that cannot be done say so, end with 2 and leave no file."""

import csv
import shutil
from pathlib import Path

import duckdb
import pytest

from tests.conftest import DemoRun
from tests.run.test_bad_input import fingerprint, ledgerstone


def _refuses(*arguments: object) -> str:
    done = ledgerstone(*arguments)
    assert done.returncode == 2, done.stdout + done.stderr
    assert "ours" not in done.stderr
    return done.stderr


def test_a_list_of_rejects_that_cannot_be_written_says_why(demo_run: DemoRun, tmp_path) -> None:
    """/proc takes no files, even from an administrator."""
    rejects = ("rejects", "--warehouse", demo_run.warehouse, "--csv")
    told = _refuses(*rejects, tmp_path / "none" / "x.csv")
    assert f"{tmp_path}/none/x.csv cannot be written: No such file or directory." in told
    assert "/proc/zz.csv cannot be written" in _refuses(*rejects, "/proc/zz.csv")


def test_a_warehouse_of_an_earlier_version_is_told_as_one(
    demo_run: DemoRun, tmp_path: Path
) -> None:
    """It lacks a mart that pages, sheet and census read; none of them leaves anything."""
    older = Path(shutil.copy(demo_run.warehouse, tmp_path / "older.duckdb"))
    with duckdb.connect(str(older)) as con:
        con.execute("alter table marts.clearances rename to clearances_of_then")
        con.execute("alter table marts.census rename to census_of_then")
        case = con.execute("select min(case_number) from accepted.cases").fetchall()[0][0]
    for arguments in (
        ("publish", "--site", tmp_path / "site"),
        ("trace", case, "--sheet", tmp_path / "sheet"),
        ("sample", "--cases", "2"),
    ):
        told = _refuses(*arguments, "--warehouse", older)
        assert f"{older} lacks something that this version reads" in told, arguments
        assert "Make it again: ledgerstone run DROP" in told
    assert not (tmp_path / "site").exists()
    assert not list(tmp_path.glob("sheet/**/*.html"))


def test_a_list_of_rejects_takes_the_place_of_no_file(demo_run: DemoRun, tmp_path: Path) -> None:
    there = tmp_path / "letter.csv"
    there.write_text("x")
    before = fingerprint(demo_run.warehouse)
    for path in (there, demo_run.warehouse):
        told = _refuses("rejects", "--warehouse", demo_run.warehouse, "--csv", path)
        assert f"{path} exists already." in told
        assert "Name another file with --csv." in told
    assert there.read_text() == "x"
    assert fingerprint(demo_run.warehouse) == before


def test_the_world_may_not_read_a_list_of_rejects(demo_run: DemoRun, tmp_path: Path) -> None:
    path = tmp_path / "rejects.csv"
    done = ledgerstone("rejects", "--warehouse", demo_run.warehouse, "--csv", path)
    assert done.returncode == 0, done.stderr
    assert path.stat().st_mode & 0o137 == 0
    with path.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert f"{len(rows):,} reasons" in done.stdout
    assert {"file_name", "line", "mend"} <= set(rows[0])


def test_a_template_that_cannot_be_written_says_why() -> None:
    assert "/proc/zz cannot be written" in _refuses("template", "cases", "--output", "/proc/zz")


@pytest.mark.parametrize(
    "call",
    [
        ("census", "--at", "9999-12-31T23:00-05:00"),
        ("run", "drop", "--as-of", "0001-01-01T00:00+05:00"),
        ("run", "drop", "--as-of", "9999-12-31"),
        ("run", "drop", "--as-of", "1899-12-31T23:59Z"),
    ],
)
def test_an_instant_far_beyond_every_record_is_refused(call: tuple[str, ...]) -> None:
    assert "is of none of the years 1900 to 2999" in _refuses(*call)


def test_rejects_of_an_unknown_file_are_refused_and_the_known_ones_named(
    demo_run: DemoRun,
) -> None:
    rejects = ("rejects", "--warehouse", demo_run.warehouse)
    told = _refuses(*rejects, "--file", "cases-2026-11-61.csv")
    assert "Did you mean cases-2026-11-16.csv?" in told
    assert "custody_events-2026-11-16.csv" in told
    told = _refuses(*rejects, "--feed", "cases", "--file", "custody_events-2026-11-16.csv")
    assert "No file of cases is called custody_events-2026-11-16.csv." in told
