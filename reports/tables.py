"""Tables as they are declared by a page, and their cells as they are printed."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Protocol

import polars as pl

from reports import words
from reports.marks import RANK, State


class Clock(Protocol):
    """Which zone a place is in; the warehouse is one."""

    def zone_of(self, place: object) -> str: ...


class Kind(StrEnum):
    """How a column is printed and sorted."""

    TEXT = "text"
    CODE = "code"  # a code of ours, printed as words
    ID = "id"
    PERSON = "person"  # a personal name or free text: only where the audience may see names
    CASE = "case"  # a case number; a link where a case sheet exists
    PLACE = "place"
    NUMBER = "number"
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
    "open": "not ended at the as-of time",
}


def mart(name: str) -> str:
    """Where a table is from: the mart, and the model that makes it."""
    return f"marts.{name} (models/marts/{name}.sql)"


@dataclass(frozen=True)
class Column:
    """One column of a page's table.

    ``zone_by`` names the column whose place decides the clock of an instant; ``limit`` the column
    with the tick of a bar; ``empty`` the code for a null. ``is_whole`` text is never cut (wording
    of the law).
    """

    name: str
    heading: str
    kind: Kind = Kind.TEXT
    decimals: int = 0
    zone_by: str | None = None
    limit: str | None = None
    empty: str = "[x]"
    is_whole: bool = False


@dataclass(frozen=True)
class Listing:
    """A table: the statement that gives all its rows (totally ordered), and how many are printed.

    Every column of the statement goes into the download; ``columns`` are printed. The first printed
    column heads its row. ``personal`` names further columns of the statement that the download
    must not carry where names are not seen. ``totals`` (column, text) are of all rows, are printed
    apart and stay out of CSV and Parquet.
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


@dataclass(frozen=True)
class Cell:
    """One printed cell. ``sort`` is given where the printed text does not sort as it should."""

    text: str
    sort: str | None = None
    time: tuple[str, str] | None = None
    mark: str | None = None
    href: str | None = None
    bar: tuple[float, float | None] | None = None
    is_code: bool = False


RIGHT = frozenset({Kind.NUMBER, Kind.SHARE, Kind.BAR})


def cells(column: Column, frame: pl.DataFrame, clock: Clock) -> list[Cell]:
    """The printed cells of one column of the rows that the page shows."""
    if column.kind is Kind.INSTANT:
        places = frame[column.zone_by].to_list() if column.zone_by else [None] * frame.height
        return [
            _instant(value, clock.zone_of(place), column)
            for value, place in zip(frame[column.name].to_list(), places, strict=True)
        ]
    if column.kind is Kind.BAR:
        return _bars(column, frame)
    return [_cell(column, value) for value in frame[column.name].to_list()]


def _empty(column: Column) -> Cell:
    return Cell(column.empty, sort="", is_code=column.empty in CODES)


def _instant(value: object, zone: str, column: Column) -> Cell:
    if not isinstance(value, datetime):
        return _empty(column)
    text = words.clock(value, zone)
    return Cell(text, sort=f"{value:%Y-%m-%dT%H:%M:%S}", time=(text[:10], text[10:]))


def _bars(column: Column, frame: pl.DataFrame) -> list[Cell]:
    values = frame[column.name].to_list()
    limits = frame[column.limit].to_list() if column.limit else [None] * len(values)
    most = max((v for v in (*values, *limits) if v is not None), default=0) or 1
    return [
        _empty(column)
        if value is None
        else Cell(
            words.number(value, column.decimals),
            bar=(max(0.0, value / most), None if limit is None else limit / most),
        )
        for value, limit in zip(values, limits, strict=True)
    ]


def _cell(column: Column, value: object) -> Cell:
    if value is None or value == "":
        return _empty(column)
    match column.kind:
        case Kind.NUMBER if isinstance(value, int | float | Decimal):
            return Cell(words.number(value, column.decimals))
        case Kind.SHARE if isinstance(value, int | float | Decimal):
            return Cell(words.share(float(value)))
        case Kind.DAY if isinstance(value, date):
            return Cell(f"{value:%Y-%m-%d}")
        case Kind.MONTH if isinstance(value, date):
            return Cell(words.month(value), sort=f"{value:%Y-%m-%d}")
        case Kind.WEEK if isinstance(value, date):
            return Cell(words.week_label(value), sort=f"{value:%Y-%m-%d}")
        case Kind.YES_NO:
            return Cell("yes" if value else "no")
        case Kind.MARK:
            return Cell(str(value), sort=str(RANK.get(str(value), 9)), mark=str(value))
        case Kind.CODE:
            return Cell(words.cut(words.plain(str(value))))
        case _ if column.is_whole:
            return Cell(words.visible(str(value)))
        case _:
            return Cell(words.cut(str(value)))
