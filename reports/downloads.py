"""Files beside each table: CSV and Parquet, and XLSX for the accountant.

CSV and XLSX are for eyes and spreadsheets: text that would run as a formula or turn the reading
direction is made harmless. Parquet is for programs and holds every value exactly.
"""

import shutil
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

import polars as pl
import xlsxwriter

from reports.tables import Listing
from reports.warehouse import Warehouse

#: A sheet of this many rows takes a few seconds to write and opens anywhere; beyond it the page
#: offers CSV and Parquet alone rather than part of the rows.
MOST_SHEET_ROWS = 100_000
#: One fixed instant inside the file, so that the same rows give the same bytes.
_SHEET_MADE = datetime(2000, 1, 1)


@dataclass
class Downloads:
    """Writes each distinct set of rows once and copies it where another audience has it too."""

    warehouse: Warehouse
    written: dict[tuple[str, frozenset[str], str], Path] = field(default_factory=dict)

    def write(
        self, listing: Listing, stem: Path, hidden: frozenset[str], kinds: tuple[str, ...]
    ) -> tuple[tuple[str, Path], ...]:
        """The files of a listing, ``stem`` with each kind's suffix: (kind, path)."""
        found = self.warehouse.columns(listing.sql)
        columns = {name: kind for name, kind in found.items() if name not in hidden}
        stem.parent.mkdir(parents=True, exist_ok=True)
        made = []
        for kind in kinds:
            path = stem.with_name(f"{stem.name}.{kind.lower()}")
            key = (listing.sql, hidden, kind)
            if key in self.written:
                shutil.copyfile(self.written[key], path)
            else:
                self._write(kind, listing, columns, path)
                self.written[key] = path
            made.append((kind, path))
        return tuple(made)

    def _write(self, kind: str, listing: Listing, columns: dict[str, str], path: Path) -> None:
        match kind:
            case "CSV":
                sql = _selected(listing.sql, columns, "harmless")
                self.warehouse.write(sql, path, "format csv, header true")
            case "Parquet":
                self.warehouse.write(_selected(listing.sql, columns, None), path, "format parquet")
            case _:
                frame = self.warehouse.frame(_selected(listing.sql, columns, "shown"))
                _write_sheet(frame, listing, path)


def _selected(sql: str, columns: dict[str, str], text_macro: str | None) -> str:
    """The statement with the columns that may leave, its text through a macro of plain_text."""
    chosen = ", ".join(
        f'{text_macro}("{name}") as "{name}"' if text_macro and kind == "VARCHAR" else f'"{name}"'
        for name, kind in columns.items()
    )
    return f"select {chosen} from ({sql})"


def _write_sheet(frame: pl.DataFrame, listing: Listing, path: Path) -> None:
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
    about = book.add_worksheet("about")
    about.set_column(0, 0, 28)
    about.set_column(1, 1, 90)
    lines = [
        ("Table", listing.caption),
        ("From", listing.source),
        ("Rows", str(frame.height)),
        *listing.totals_for_sheet,
    ]
    for place, (name, value) in enumerate(lines):
        about.write_string(place, 0, name)
        about.write_string(place, 1, value)
    frame.write_excel(
        book,
        worksheet="rows",
        table_name="rows_of_" + "".join(c if c.isalnum() else "_" for c in listing.slug),
        table_style={"style": "Table Style Light 1", "first_column": False},
        dtype_formats={pl.Decimal: "0.00##", pl.Float64: "0.00##", pl.Int64: "0"},
        autofit=frame.height <= 5_000,
        freeze_panes=(1, 0),
    )
    book.close()
