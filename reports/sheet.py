"""A table as a spreadsheet that opens without damage."""

from datetime import datetime
from pathlib import Path

import polars as pl
import xlsxwriter

from reports.tables import Listing

#: A sheet of this many rows takes a few seconds to write and opens anywhere; beyond it the page
#: offers CSV and Parquet alone rather than part of the rows.
MOST_SHEET_ROWS = 100_000
#: One fixed instant inside the file, so that the same rows give the same bytes.
_SHEET_MADE = datetime(2000, 1, 1)
#: Widths by type, in characters; fitting each column to its cells costs a fifth of the time.
_WIDTHS: dict[type[pl.DataType], int] = {pl.String: 24, pl.Datetime: 20, pl.Date: 12}


def write_sheet(frame: pl.DataFrame, listing: Listing, path: Path) -> None:
    """One sheet of rows that a spreadsheet can sum, and one that says what they are.

    Identifiers stay text (leading zeros), numbers stay numbers, no text becomes a formula or a
    link. A total stands on the first sheet, outside the rows.
    """
    book = xlsxwriter.Workbook(
        str(path),
        {
            "in_memory": True,
            "strings_to_formulas": False,
            "strings_to_numbers": False,
            "strings_to_urls": False,
        },
    )
    book.set_properties({"title": listing.caption, "created": _SHEET_MADE})
    _about(book, frame.height, listing)
    frame.write_excel(
        book,
        worksheet="rows",
        table_name="rows_of_" + "".join(c if c.isalnum() else "_" for c in listing.slug),
        table_style={"style": "Table Style Light 1", "first_column": False},
        dtype_formats={pl.Decimal: "0.00##", pl.Float64: "0.00##", pl.Int64: "0"},
        column_widths={
            name: 8 * _WIDTHS.get(kind.base_type(), 13) for name, kind in frame.schema.items()
        },
        freeze_panes=(1, 0),
    )
    book.close()


def _about(book: xlsxwriter.Workbook, rows: int, listing: Listing) -> None:
    sheet = book.add_worksheet("about")
    sheet.set_column(0, 0, 28)
    sheet.set_column(1, 1, 90)
    lines = [
        ("Table", listing.caption),
        ("From", listing.source),
        ("Rows", str(rows)),
        ("Times", "UTC in columns named _at"),
        *listing.totals_for_sheet,
    ]
    for place, (name, value) in enumerate(lines):
        sheet.write_string(place, 0, name)
        sheet.write_string(place, 1, value)
