"""The cells of a table as they are printed and sorted."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any, Protocol

import polars as pl

from reports import words
from reports.marks import RANK
from reports.tables import CODES, Column, Kind


class Clock(Protocol):
    """Which zone a place is in; the warehouse is one."""

    def zone_of(self, place: object) -> str: ...


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


RIGHT = frozenset({Kind.NUMBER, Kind.QUANTITY, Kind.LINE, Kind.PRICE, Kind.SHARE, Kind.BAR})


def cells(column: Column, frame: pl.DataFrame, clock: Clock) -> list[Cell]:
    """The printed cells of one column of the rows that the page shows."""
    if frame.is_empty():
        return []
    values = frame[column.name].to_list()
    if column.kind is Kind.INSTANT:
        places = frame[column.zone_by].to_list() if column.zone_by else [None] * len(values)
        days = frame[column.day_by].to_list() if column.day_by else [False] * len(values)
        return [
            _day(value) if is_day else _instant(value, clock.zone_of(place), column)
            for value, place, is_day in zip(values, places, days, strict=True)
        ]
    if column.kind is Kind.BAR:
        limits = frame[column.limit].to_list() if column.limit else [None] * len(values)
        return _bars(column, values, limits)
    if column.kind is Kind.QUANTITY:
        decimals = 0 if all(words.is_whole(value) for value in values if value is not None) else 2
        column = replace(column, decimals=decimals)
    printer = _PRINTERS.get(column.kind, _text)
    return [
        _empty(column) if value is None or value == "" else printer(column, value)
        for value in values
    ]


def _empty(column: Column) -> Cell:
    return Cell(column.empty, sort="", is_code=column.empty in CODES)


def _instant(value: object, zone: str, column: Column) -> Cell:
    if not isinstance(value, datetime):
        return _empty(column)
    text = words.clock(value, zone)
    return Cell(text, sort=f"{value:%Y-%m-%dT%H:%M:%S}", time=(text[:10], text[11:]))


def _day(value: datetime) -> Cell:
    """A day that stands as its midnight: on no clock, or it would be the day before."""
    return Cell(f"{value:%Y-%m-%d}", sort=f"{value:%Y-%m-%dT%H:%M:%S}")


def _bars(column: Column, values: list[Any], limits: list[Any]) -> list[Cell]:
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


def _text(column: Column, value: Any) -> Cell:
    return Cell(words.visible(str(value)) if column.is_whole else words.cut(str(value)))


_PRINTERS: dict[Kind, Callable[[Column, Any], Cell]] = {
    Kind.NUMBER: lambda column, v: Cell(words.number(v, column.decimals)),
    Kind.QUANTITY: lambda column, v: Cell(words.number(v, column.decimals)),
    Kind.PLACE: lambda column, v: Cell("all homes") if v == "(group)" else _text(column, v),
    Kind.LINE: lambda _, v: Cell(str(v)),
    Kind.SHARE: lambda _, v: Cell(words.number(100 * float(v))),
    Kind.DAY: lambda _, v: Cell(f"{v:%Y-%m-%d}"),
    Kind.MONTH: lambda _, v: Cell(words.month(v), sort=f"{v:%Y-%m-%d}"),
    Kind.WEEK: lambda _, v: Cell(words.week_label(v), sort=f"{v:%Y-%m-%d}"),
    Kind.YES_NO: lambda _, v: Cell("yes" if v else "no"),
    Kind.MARK: lambda _, v: Cell(str(v), sort=str(RANK.get(str(v), len(RANK))), mark=str(v)),
    Kind.CODE: lambda _, v: Cell(words.cut(words.plain(str(v)))),
}
