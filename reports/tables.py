"""Tables as a page declares them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

import polars as pl

from reports.marks import State


class Kind(StrEnum):
    """How a column is printed and sorted."""

    TEXT = "text"
    CODE = "code"  # a code of ours, printed as words
    ID = "id"
    PERSON = "person"  # a personal name or free text: only where the audience may see names
    CASE = "case"  # a case number; a link where a case sheet exists
    PLACE = "place"
    NUMBER = "number"
    QUANTITY = "quantity"  # of goods: without decimals where the whole column has none, else two
    LINE = "line"  # the line of a file: a number that is no quantity
    PRICE = "price"  # a price or a range, as text
    SHARE = "share"
    INSTANT = "instant"
    DAY = "day"
    WEEK = "week"
    MONTH = "month"
    MARK = "mark"  # severity or state: word and shape
    YES_NO = "yes_no"
    BAR = "bar"  # a number with a bar beside it and a tick at the limit


#: What stands for an empty cell; explained under the table (page codes of national statistics).
CODES = {
    "[x]": "not available: the file does not say",
    "[z]": "not applicable",
    "[c]": "withheld: fewer cases than a median or a share can be made from",
    "[y]": "the records do not go back so far",
    "[w]": "too few earlier weeks to say what is usual",
    "open": "not ended at the as-of time",
}


def mart(name: str) -> str:
    """Where a table is from: the mart, and the model that makes it."""
    return f"marts.{name} (models/marts/{name}.sql)"


@dataclass(frozen=True)
class Column:
    """One column of a page's table.

    ``zone_by`` names the column whose place decides the clock of an instant; ``day_by`` the one
    that says of which rows the day alone is known; ``limit`` the column with the tick of a bar;
    ``empty`` the code for a null. ``is_whole`` text is never cut (wording of the law). ``is_main``:
    what the row is read for; it gets the room on a screen. ``links``: value as text -> address in
    the audience's folder of what stands behind.
    """

    name: str
    heading: str
    kind: Kind = Kind.TEXT
    decimals: int = 0
    zone_by: str | None = None
    day_by: str | None = None
    limit: str | None = None
    empty: str = "[x]"
    is_whole: bool = False
    is_main: bool = False
    links: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Listing:
    """A table: the statement that gives all its rows (totally ordered), and how many are printed.

    Every column of the statement goes into the download; ``columns`` are printed. The first printed
    column heads its row. ``personal`` names further columns of the statement that the download
    must not carry where names are not seen. ``totals`` (column, text) are of all rows, are printed
    apart and stay out of CSV and Parquet. ``grouped`` is the statement of what is printed where one
    printed line stands for several rows of ``sql``; the download has each of those.
    """

    slug: str
    caption: str
    sql: str
    columns: tuple[Column, ...]
    source: str
    none: State
    note: str = ""
    shown: int = 100
    totals: tuple[tuple[str, str], ...] = ()
    personal: tuple[str, ...] = ()
    has_download: bool = True
    grouped: str = ""
    rows: pl.DataFrame | None = None

    @property
    def totals_for_sheet(self) -> tuple[tuple[str, str], ...]:
        """The totals by heading, for the sheet that stands before the rows."""
        headings = {c.name: c.heading for c in self.columns}
        return tuple((f"Total: {headings.get(name, name)}", text) for name, text in self.totals)

    def visible_columns(self, may_see_names: bool) -> tuple[Column, ...]:
        return tuple(c for c in self.columns if may_see_names or c.kind is not Kind.PERSON)

    def hidden_names(self, may_see_names: bool) -> frozenset[str]:
        """Columns of the statement that stay out of this audience's downloads."""
        if may_see_names:
            return frozenset()
        persons = (c.name for c in self.columns if c.kind is Kind.PERSON)
        return frozenset((*self.personal, *persons))
