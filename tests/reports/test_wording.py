"""Pages say no more than the records do."""

import html
import re
from pathlib import Path

import polars as pl

from tests.reports.conftest import Site


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
