"""Text from files stays text: in pages, charts and downloads."""

import csv
import html
import re
import shutil
from pathlib import Path

import duckdb
import polars as pl
import pytest

from reports import publish
from reports.charts.figure import hover_label, label
from reports.frame.filters import script_json
from reports.plain_text import harmless
from tests.reports.conftest import Reader, Site
from tests.reports.small_warehouse import AS_OF


def test_script_and_image_tags_in_names_are_printed_and_not_run(
    small: Site, reader: Reader
) -> None:
    page = reader.open(small.folder / "operations" / "custody.html")
    assert page.locator("main img").count() == 0
    assert page.locator("main script:not([type='application/json'])").count() == 0
    sheet = reader.open(small.folder / "compliance" / "cases" / "case-AL-26-0001.html")
    assert '<img src=x onerror=alert(1)>, "><script>alert(2)</script>' in sheet.inner_text("dl")
    assert reader.errors == []


def test_a_right_to_left_mark_in_a_name_is_a_visible_code(small: Site) -> None:
    text = (small.folder / "operations" / "census.html").read_text(encoding="utf-8")
    assert "Ro[U+202E]nat" in text
    for page in small.pages:
        assert "\u202e" not in page.path.read_text(encoding="utf-8"), page.path


def test_names_stand_apart_from_the_direction_of_what_is_around(small: Site) -> None:
    text = (small.folder / "operations" / "census.html").read_text(encoding="utf-8")
    assert f"<bdi>{html.escape('Zoë O', quote=False)}" in text


def test_a_figure_cannot_end_its_script_element() -> None:
    assert "<" not in script_json('{"text": "</script><!--"}')
    assert "\u2028" not in script_json("a\u2028b")


def test_a_name_in_a_hover_text_is_no_place_for_a_figure() -> None:
    # Plotly's hover templates: ``%{variable}`` is replaced by the point's value.
    assert hover_label("Home %{y}") == "Home % {y}"
    assert hover_label("100 % {sure}") == "100 % {sure}"


def test_markup_in_a_label_of_a_chart_is_plain_text() -> None:
    assert label("Cedar Row <b>Home</b>") == "Cedar Row &lt;b&gt;Home&lt;/b&gt;"


@pytest.mark.parametrize("name", ["בית לבנון", "Home بيت", "\u0661\u0662"])
def test_a_name_from_right_to_left_stands_apart_in_a_chart(name: str) -> None:
    """First strong isolate to pop directional isolate (UAX 9); marks of the file stay codes."""
    assert label(name) == f"\u2068{name}\u2069"
    assert label(f"{name}\u2069") == f"\u2068{name}[U+2069]\u2069"
    assert label("Łuk Žofín") == "Łuk Žofín"


def test_what_a_chart_says_of_a_name_from_right_to_left_stays_in_order(
    small: Site, reader: Reader, tmp_path: Path
) -> None:
    """In a panel's heading the count would else be drawn to the left of the name before it."""
    warehouse = tmp_path / "warehouse.duckdb"
    shutil.copyfile(small.warehouse, warehouse)
    with duckdb.connect(str(warehouse)) as connection:
        connection.execute("update marts.location_comparison set location_name = 'בית לבנון'")
    publish(warehouse, tmp_path / "site", as_of=AS_OF)
    page = reader.open(tmp_path / "site" / "owner" / "still_waiting.html")
    heading = page.locator("text.annotation-text", has_text="begun").first
    said = heading.text_content() or ""
    count = said.index(", ") + 2
    starts = heading.evaluate(
        "(text, places) => places.map(place => text.getStartPositionOfChar(place).x)",
        [said.index("ל"), said.index("ב"), count, said.index("begun")],
    )
    assert starts == sorted(starts)


def test_markup_in_a_location_name_is_printed_in_the_chart(small: Site, reader: Reader) -> None:
    page = reader.open(small.folder / "operations" / "custody.html")
    assert "Cedar Row <b>Home</b>" in page.locator("figure .chart").first.text_content()  # type: ignore[operator]


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", "  =1", "\t=1", "＝1", "=cmd|' /C calc'!A1"]
)
def test_text_that_a_spreadsheet_would_run_gets_an_apostrophe(text: str) -> None:
    """The characters are those of the OWASP page on CSV injection."""
    cell = harmless(pl.DataFrame({"x": [text]}))["x"][0]
    assert cell.startswith("'")


def test_numbers_dates_and_plain_text_are_left_alone() -> None:
    frame = pl.DataFrame({"n": [-1.5, None], "t": ["A-1", None], "d": [None, "2026-01-01"]})
    assert harmless(frame).equals(frame)


def _csv_cells(path: Path) -> list[str]:
    with path.open(encoding="utf-8", newline="") as handle:
        return [cell for row in csv.reader(handle) for cell in row]


def test_no_download_of_the_site_holds_a_live_formula_or_a_direction_mark(small: Site) -> None:
    number = re.compile(r"-?\d+(\.\d+)?([eE][+-]?\d+)?")
    files = sorted(small.folder.rglob("*.csv"))
    assert len(files) > 60
    for path in files:
        for cell in _csv_cells(path):
            assert "\u202e" not in cell, path
            if cell.lstrip().startswith(("=", "+", "-", "@")):
                assert number.fullmatch(cell), (path, cell)


def test_the_hostile_name_is_in_the_download_as_harmless_text(small: Site) -> None:
    path = small.folder / "operations" / "downloads" / "census-people.csv"
    cells = _csv_cells(path)
    assert "Ro[U+202E]nat" in cells
    findings = _csv_cells(small.folder / "compliance" / "downloads" / "findings-critical.csv")
    assert "'=1+1 looks like a formula" in findings
