"""A listing as the template prints it."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import polars as pl
from markupsafe import Markup

from reports import words
from reports.cells import RIGHT, Cell, Clock, cells
from reports.frame.paper import paper_class
from reports.frame.rows import body
from reports.marks import State
from reports.tables import CODES, Column, Kind, Listing


@dataclass(frozen=True)
class HeadView:
    heading: str
    is_right: bool
    is_ours: bool
    css: str


@dataclass(frozen=True)
class DownloadView:
    kind: str
    href: str


@dataclass(frozen=True)
class PreparedTable:
    """A listing with the rows to print, the first of ``total``, and its files. Of a grouped one the
    lines to print, the first of ``lines``, which stand for ``total`` rows."""

    listing: Listing
    frame: pl.DataFrame
    total: int
    downloads: tuple[DownloadView, ...]
    download_note: str
    lines: int | None = None


@dataclass(frozen=True)
class TableView:
    slug: str
    caption: str
    note: str
    columns: tuple[HeadView, ...]
    body: Markup
    none: State
    count_line: str
    totals: tuple[tuple[str, ...], ...]
    codes: tuple[tuple[str, str], ...]
    downloads: tuple[DownloadView, ...]
    download_note: str
    source: str
    on_paper: str
    has_told_codes: bool = False


#: Classes of page.css: wide text, names and codes may wrap; what is left stays on one line.
_CSS = {Kind.TEXT: "w", Kind.PERSON: "w", Kind.CODE: "c", Kind.INSTANT: "t", Kind.CASE: "i"}
#: Kinds whose printed text is made by our code alone and needs no isolation.
_OURS = frozenset({Kind.NUMBER, Kind.QUANTITY, Kind.SHARE, Kind.INSTANT, Kind.DAY, Kind.WEEK,
                   Kind.MONTH, Kind.YES_NO})  # fmt: skip


def table_view(
    table: PreparedTable,
    clock: Clock,
    may_see_names: bool,
    case_page: Callable[[str], str | None],
    root: str = "",
) -> TableView:
    """``case_page`` gives the address of a case's sheet, where there is one; ``root`` is the way
    to the audience's folder."""
    listing = table.listing
    columns, empty = _with_values(listing, listing.visible_columns(may_see_names), table.frame)
    printed = [
        _linked(column, cells(column, table.frame, clock), table.frame, case_page, root)
        for column in columns
    ]
    used = {cell.text for column in printed for cell in column if cell.is_code}
    heads = tuple(_head(column) for column in columns)
    return TableView(
        listing.slug,
        listing.caption,
        f"{listing.note} {empty}".strip(),
        heads,
        body(
            _anchors(listing, printed[0]),
            printed,
            [head.css for head in heads],
            [head.is_ours for head in heads],
        ),
        listing.none,
        _count_line(table.frame.height, table.total, table.lines),
        _totals(listing, columns, table.total),
        tuple((code, says) for code, says in CODES.items() if code in used),
        table.downloads,
        table.download_note,
        listing.source,
        paper_class([head.heading for head in heads], [head.css for head in heads], printed),
    )


#: Codes that say of a cell that there is nothing to read in it.
_NOTHING = frozenset(CODES) - {"open"}


def _with_values(
    listing: Listing, columns: tuple[Column, ...], frame: pl.DataFrame
) -> tuple[tuple[Column, ...], str]:
    """The columns in which some row has a value, and which are left out for it."""
    kept = {columns[0].name, *(name for name, _ in listing.totals)}
    out = [
        column
        for column in columns
        if frame.height > 1 and column.name not in kept and column.empty in _NOTHING
        and column.name in frame.columns and _is_empty(frame[column.name])
    ]  # fmt: skip
    if not out:
        return columns, ""
    named = words.listed([f"“{column.heading}”" for column in out])
    told = words.listed(sorted({CODES[column.empty] for column in out}))
    says = f"Not shown, empty in each row here: {named}: {told}."
    return tuple(c for c in columns if c not in out), says


def _is_empty(values: pl.Series) -> bool:
    return all(value is None or value == "" for value in values)


def _head(column: Column) -> HeadView:
    is_right = column.kind in RIGHT
    css = "n" if is_right else "x" if column.is_whole else _CSS.get(column.kind, "k")
    css += " m" if column.is_main else ""
    return HeadView(column.heading, is_right, column.kind in _OURS, css)


def _totals(
    listing: Listing, columns: tuple[Column, ...], rows: int
) -> tuple[tuple[str, ...], ...]:
    if not listing.totals:
        return ()
    texts = dict(listing.totals)
    named = f"Total of {words.counted(rows, 'row')}"
    return ((named, *(texts.get(c.name, "") for c in columns[1:])),)


def _count_line(shown: int, total: int, lines: int | None) -> str:
    if lines is not None:
        first = "" if shown == lines else f"The first {words.number(shown)} of "
        rows = words.counted(total, "row")
        return f"{first}{words.counted(lines, 'line')} for {rows}; the download has each row."
    if shown == total:
        return words.counted(total, "row") + "."
    return f"The first {words.number(shown)} of {words.number(total)} rows; the download has all."


def _anchors(listing: Listing, heading: list[Cell]) -> list[str | None]:
    """An id of each row for links, where the first column is a case or a code; once each."""
    if listing.columns[0].kind not in {Kind.CASE, Kind.CODE}:
        return [None] * len(heading)
    ids = [f"{listing.slug}-{_safe(cell.text)}" for cell in heading]
    first = {anchor: place for place, anchor in reversed(list(enumerate(ids)))}
    return [anchor if first[anchor] == place else None for place, anchor in enumerate(ids)]


def _safe(text: str) -> str:
    return "".join(c if c.isascii() and (c.isalnum() or c in "-_") else "_" for c in text)


def _linked(
    column: Column,
    printed: list[Cell],
    frame: pl.DataFrame,
    case_page: Callable[[str], str | None],
    root: str,
) -> list[Cell]:
    if column.links and printed:
        found = [column.links.get(str(value)) for value in frame[column.name].to_list()]
        return [
            replace(cell, href=root + href) if href else cell
            for cell, href in zip(printed, found, strict=True)
        ]
    if column.kind is not Kind.CASE:
        return printed
    return [
        Cell(cell.text, cell.sort, href=case_page(cell.text), is_code=cell.is_code)
        for cell in printed
    ]
