"""What the as-of line says of the files: never a clock time that their names do not have."""

import shutil
from datetime import UTC, datetime
from pathlib import Path

import duckdb
import pytest

from reports.frame import Issue
from reports.issue import issue_of
from reports.warehouse import Warehouse
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF

#: A name with a day alone: its midnight in UTC, and when that day ends furthest west.
DAY = ("2026-11-16 00:00", "2026-11-17 12:00")
INSTANT = ("2026-11-16 06:00", "2026-11-16 18:01")
MONTH = ("2026-11-01 00:00", "2026-12-01 12:00")


def _issue(small: Site, tmp_path: Path, names: tuple[str, str], as_of: datetime = AS_OF) -> Issue:
    path = tmp_path / "warehouse.duckdb"
    shutil.copyfile(small.warehouse, path)
    with duckdb.connect(str(path)) as connection:
        connection.execute("update raw.files set exported_at = $1, exported_at_latest = $2", names)
    with Warehouse(path, as_of) as opened:
        return issue_of(opened)


@pytest.mark.parametrize(
    ("names", "line", "short"),
    [
        (DAY, "Data up to 16 November 2026. Loaded", "Data to 2026-11-16"),
        (INSTANT, "Data up to 16 November 2026, 00:00 (America/Chicago). Loaded",
         "Data to 2026-11-16 00:00 -06:00"),
        (MONTH, "Data up to November 2026. Loaded", "Data to 2026-11"),
    ],
)  # fmt: skip
def test_a_name_with_a_day_alone_gives_that_day_and_no_clock(
    small: Site, tmp_path: Path, names: tuple[str, str], line: str, short: str
) -> None:
    issue = _issue(small, tmp_path, names)
    assert issue.line.startswith(line)
    assert issue.short == short


def test_a_price_list_for_anyone_names_the_day_in_the_name(small: Site, tmp_path: Path) -> None:
    issue = _issue(small, tmp_path, DAY)
    assert issue.public_line.startswith("As exported on 16 November 2026; as of")


def test_files_of_a_day_after_the_run_give_the_instant_of_the_run(
    small: Site, tmp_path: Path
) -> None:
    """At 02:00 UTC it is still 15 November on the group's clock."""
    issue = _issue(small, tmp_path, DAY, datetime(2026, 11, 16, 2, tzinfo=UTC))
    assert issue.line.startswith(
        "Data up to 15 November 2026, 20:00 (America/Chicago), from files exported by "
        "16 November 2026."
    )
    assert issue.short == "Data to 2026-11-15 20:00 -06:00"


def test_an_older_kind_of_file_is_named_with_its_day(small: Site, tmp_path: Path) -> None:
    path = tmp_path / "warehouse.duckdb"
    shutil.copyfile(small.warehouse, path)
    with duckdb.connect(str(path)) as connection:
        connection.execute(
            "update raw.files set exported_at = '2026-11-09', exported_at_latest = "
            "'2026-11-10 12:00' where feed = 'cases' and set_aside is null"
        )
    with Warehouse(path, AS_OF) as opened:
        assert "the oldest of the newest files is of 9 November 2026." in issue_of(opened).line
