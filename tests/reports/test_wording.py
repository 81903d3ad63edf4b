"""Pages say no more than the records do."""

import html
import re
import shutil
from pathlib import Path

import duckdb
import polars as pl

from reports import publish
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF


def _text(path: Path) -> str:
    page = html.unescape(re.sub(r"<[^>]+>", "", path.read_text(encoding="utf-8")))
    return re.sub(r"\s+", " ", page)


def test_the_running_week_has_not_ended(small: Site) -> None:
    titles = {page.path.name: page.title.text for page in small.pages
              if page.path.parent.name == "custody"}  # fmt: skip
    assert titles["2026-W47.html"].endswith("in the week of 16 November 2026 (2026-W47) so far")
    assert titles["2026-W46.html"].endswith("when the week of 9 November 2026 (2026-W46) ended")


def test_the_parts_of_a_weeks_grams_add_up_to_them(small: Site) -> None:
    page = _text(small.folder / "operations" / "chemical_use.html")
    assert "Other cases (g)" in page
    rows = pl.read_csv(small.folder / "operations" / "downloads" / "chemical_use-weeks.csv")
    parts = ("intact", "autopsied", "other_case", "without_case")
    assert set(rows.columns) >= {f"formaldehyde_g_{part}" for part in parts}


def test_the_cost_of_what_was_issued_is_said_as_the_mart_has_it(small: Site) -> None:
    page = _text(small.folder / "accounts" / "merchandise.html")
    assert "at the cost on the movement, else the last cost known at the place" in page


def test_no_page_sends_its_reader_to_itself(small: Site) -> None:
    page = _text(small.folder / "compliance" / "data_quality.html")
    assert "more on the data quality page" not in page


def test_one_is_not_told_as_several(small: Site, tmp_path: Path) -> None:
    """One critical finding, one match that differs, one person who waits for papers."""
    warehouse = tmp_path / "warehouse.duckdb"
    shutil.copyfile(small.warehouse, warehouse)
    with duckdb.connect(str(warehouse)) as connection:
        connection.execute(
            """delete from marts.findings where severity = 'critical' and finding_number > (
                select min(finding_number) from marts.findings where severity = 'critical');
            update marts.clearances set clearance_state = 'no objection on record'
            where clearance_state = 'papers outstanding' and case_number <> 'BI-26-0010';
            update marts.merchandise_matched set match_state = 'agrees'
            where case_number <> 'AL-26-0005'"""
        )
    pages = publish(warehouse, tmp_path / "site", as_of=AS_OF)
    titles = {page.path.relative_to(tmp_path / "site").as_posix(): page.title.text
              for page in pages}  # fmt: skip
    assert titles["compliance/findings.html"].startswith("1 critical finding and 3 major;")
    assert "; 1 waits for papers, " in titles["operations/before_moving.html"]
    assert titles["accounts/merchandise.html"].startswith("1 of 27 matches of goods does not agree")
