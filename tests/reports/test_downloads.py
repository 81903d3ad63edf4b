"""Files beside the tables: the whole of the rows, in forms that open without damage."""

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path

import duckdb
import openpyxl
import polars as pl
import pytest

import reports.downloads
from reports import publish
from reports.marks import Mark, State
from reports.sheet import write_sheet
from reports.tables import Column, Listing
from tests.conftest import DemoRun
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def test_the_download_has_every_row_where_the_page_shows_the_first(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    folder = demo_run.site / "accounts" / "downloads"
    (lines,) = demo.execute("select count(*) from marts.charges_checked").fetchall()[0]
    assert lines > 1000
    assert len(_rows(folder / "prices-lines.csv")) == lines
    assert pl.read_parquet(folder / "prices-lines.parquet").height == lines


def test_a_line_that_stands_for_many_records_leaves_each_of_them_in_the_download(
    small: Site,
) -> None:
    """Counted by hand from the SQL of the small warehouse: one of six records waits for another."""
    page = (small.folder / "operations" / "held_back.html").read_text(encoding="utf-8")
    assert "5 lines for 6 rows; the download has each row." in page
    rows = _rows(small.folder / "operations" / "downloads" / "held_back-records.csv")
    assert [row["rule_code"] for row in rows].count("chain_held") == 1
    assert len(rows) == 6


def test_amounts_in_every_form_add_up_to_the_mart(
    small: Site, small_rows: duckdb.DuckDBPyConnection
) -> None:
    folder = small.folder / "accounts" / "downloads"
    (total,) = small_rows.execute("select sum(line_total) from marts.charges_checked").fetchall()[0]
    assert sum(Decimal(row["line_total"]) for row in _rows(folder / "prices-lines.csv")) == total
    assert pl.read_parquet(folder / "prices-lines.parquet")["line_total"].sum() == total
    sheet = openpyxl.load_workbook(folder / "prices-lines.xlsx")["rows"]
    heading = [cell.value for cell in sheet[1]]
    place = heading.index("line_total")
    amounts = [row[place].value for row in sheet.iter_rows(min_row=2)]
    assert sum(Decimal(str(amount)) for amount in amounts) == total


def test_a_total_stands_apart_from_the_rows(small: Site) -> None:
    folder = small.folder / "accounts" / "downloads"
    assert len(_rows(folder / "prices-states.csv")) == 3
    about = openpyxl.load_workbook(folder / "prices-states.xlsx")["about"]
    said = {str(name.value): str(value.value) for name, value in about.iter_rows(max_col=2)}
    assert said["Total: Lines"] == "80"
    assert said["Rows"] == "3"


def test_identifiers_stay_text_and_numbers_stay_numbers_in_a_sheet(small: Site) -> None:
    path = small.folder / "accounts" / "downloads" / "prices-lines.xlsx"
    sheet = openpyxl.load_workbook(path)["rows"]
    heading = [str(cell.value) for cell in sheet[1]]
    first = dict(zip(heading, sheet[3], strict=True))
    assert (first["item_code"].value, first["item_code"].data_type) == ("007", "s")
    assert first["unit_price"].data_type == "n"
    assert first["document_date"].value.date() == date(2026, 11, 12)
    kinds = {cell.data_type for row in sheet.iter_rows() for cell in row}
    assert "f" not in kinds


def test_text_that_looks_like_a_formula_is_text_in_a_sheet(tmp_path: Path) -> None:
    frame = pl.DataFrame({"x": ["=1+1", "@SUM(A1)", "http://a.example", "007"]})
    listing = Listing("x", "X", "", (Column("x", "X"),), "x", State(Mark.CHECKED, "None."))
    write_sheet(frame, listing, tmp_path / "x.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "x.xlsx")["rows"]
    cells = [row[0] for row in sheet.iter_rows(min_row=2)]
    assert [cell.value for cell in cells] == frame["x"].to_list()
    assert {cell.data_type for cell in cells} == {"s"}
    assert all(cell.hyperlink is None for cell in cells)


def test_parquet_holds_every_value_exactly(
    small: Site, small_rows: duckdb.DuckDBPyConnection
) -> None:
    path = small.folder / "operations" / "downloads" / "census-people.parquet"
    kept = pl.read_parquet(path)
    assert "Ro\u202enat" in kept["family_name"].to_list()
    (people,) = small_rows.execute(
        "select count(*) from marts.custody_cases where is_in_care"
    ).fetchall()[0]
    assert kept.height == people


def test_an_empty_table_still_gives_a_file_with_its_heading(small: Site) -> None:
    path = small.folder / "compliance" / "downloads" / "chemical_use-samples.csv"
    assert path.read_text(encoding="utf-8").startswith("sample_id,location_id,started_at")


def test_only_pages_of_money_give_spreadsheets_and_only_to_accounts(small: Site) -> None:
    sheets = {path.relative_to(small.folder) for path in small.folder.rglob("*.xlsx")}
    assert {path.parts[0] for path in sheets} == {"accounts"}
    assert {path.name.split("-")[0] for path in sheets} == {"prices", "merchandise", "stock_cost"}


def test_more_rows_than_a_sheet_holds_give_no_part_of_them(
    small: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reports.downloads, "MOST_SHEET_ROWS", 50)
    publish(small.warehouse, tmp_path / "site", as_of=AS_OF, processes=1)
    folder = tmp_path / "site" / "accounts"
    assert not (folder / "downloads" / "prices-lines.xlsx").exists()
    assert (folder / "downloads" / "prices-lines.csv").exists()
    html = (folder / "prices.html").read_text(encoding="utf-8")
    assert "Too many rows for a spreadsheet file." in html


def test_more_rows_than_a_file_holds_are_shown_counted_and_not_written(
    small: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reports.downloads, "MOST_EXPORTED", 79)
    publish(small.warehouse, tmp_path / "site", as_of=AS_OF, processes=1)
    folder = tmp_path / "site" / "accounts"
    assert not list(folder.glob("downloads/prices-lines.*"))
    assert (folder / "downloads" / "prices-states.csv").exists()
    html = (folder / "prices.html").read_text(encoding="utf-8")
    assert "Too many rows for a file: ask the warehouse itself." in html
    assert "of 80 rows" in html
