"""What a settings file may say. Everything is optional; what it does not say is as declared.

A source is one exporting system. What it writes alike in all its files stands under
``[sources.NAME]``; what is special to a feed under ``[sources.NAME.feeds.FEED]``.
"""

import difflib
import re
from collections.abc import Iterable
from datetime import date
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator

from pipelines.feeds import FEEDS, Form
from pipelines.sources.zones import ZONES

_NAME = re.compile(r"[a-z][a-z0-9_]{0,30}")


def _zone(value: str) -> str:
    if value not in ZONES:
        raise ValueError("this is no zone of the IANA zone database, such as America/Chicago")
    return value


def _export_pattern(value: str) -> str:
    if not re.search(r"%[Yy]", value) or not re.fullmatch(r"(%[YmdHMS]|[^%])+", value):
        raise ValueError("write it with %Y %m %d %H %M %S, such as %Y%m%d")
    return value


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _Writing(_Strict):
    """How text is written: may be said for a source and again for one of its feeds."""

    delimiter: Literal["comma", "semicolon", "tab", "pipe"] | None = None
    encoding: Literal["utf-8", "utf-16", "windows-1252"] | None = None
    dates: Literal["year-month-day", "month/day/year", "day/month/year"] | None = None
    decimal: Literal["point", "comma"] | None = None
    zone: Annotated[str, AfterValidator(_zone)] | None = None
    exported: Annotated[str, AfterValidator(_export_pattern)] | None = None


class FeedSettings(_Writing):
    """What one feed of a source is: its files, its headings, its codes.

    ``headings`` maps a heading to a column, ``fill`` gives a column that is not exported one value,
    ``codes`` maps the source's values of a column to ours, ``units`` names the unit a column is in.
    ``slice`` says what a file speaks for: everything that the source has (*full*), or the *period*
    in its name, written as ``period`` says, once or as first and last. Only what a newer file
    speaks for and no longer holds has vanished; without it a file speaks for its own records alone.
    """

    files: Annotated[list[str], Field(min_length=1)]
    lines_above_header: Annotated[int, Field(ge=0, le=50)] = 0
    sheet: str | None = None
    headings: dict[str, str] = {}
    fill: dict[str, str] = {}
    codes: dict[str, dict[str, str]] = {}
    blank_words: dict[str, list[str]] = {}
    units: dict[str, str] = {}
    slice: Literal["full", "period"] | None = None
    period: Annotated[str, AfterValidator(_export_pattern)] | None = None

    @model_validator(mode="after")
    def _a_period_is_named(self) -> Self:
        if (self.slice == "period") != (self.period is not None):
            raise ValueError(
                "slice = 'period' and period = '%Y-%m' (how a file's name writes it) go together"
            )
        return self


def _require_allowed(feed: str, settings: FeedSettings) -> None:
    """Raise ValueError for a value given to a column that is none of those that it can have."""
    given = [(f"fill.{column}", column, value) for column, value in settings.fill.items()]
    given += [
        (f'codes.{column}."{theirs}"', column, ours)
        for column, codes in settings.codes.items() for theirs, ours in codes.items()
    ]  # fmt: skip
    for place, name, value in given:
        column = FEEDS[feed].column(name)
        allowed = ("Y", "N") if column.form is Form.YES_NO else column.allowed
        if allowed and value not in allowed:
            near = difflib.get_close_matches(value, allowed, n=1)
            hint = f" Did you mean {near[0]}?" if near else ""
            raise ValueError(
                f"feeds.{feed}.{place} = {value!r} is no value of {name}.{hint} "
                f"It can be: {', '.join(allowed)}"
            )


class SourceSettings(_Writing):
    """One exporting system. ``own_numbers`` are columns whose numbers are the source's own: the
    group knows them as ``source/number``."""

    blank_words: list[str] = []
    own_numbers: list[str] = []
    feeds: dict[str, FeedSettings] = {}

    @model_validator(mode="after")
    def _names_are_declared(self) -> Self:
        for name, settings in self.feeds.items():
            if name not in FEEDS:
                raise ValueError(f"feeds.{name} is no feed. Known: {', '.join(FEEDS)}")
            if settings.slice == "period" and FEEDS[name].dated_by is None:
                raise ValueError(f"feeds.{name}.slice: the records of {name} have no date")
            named: tuple[tuple[str, Iterable[str]], ...] = (
                ("headings", settings.headings.values()), ("fill", settings.fill),
                ("codes", settings.codes), ("blank_words", settings.blank_words),
                ("units", settings.units),
            )  # fmt: skip
            for place, columns in named:
                known = set(FEEDS[name].column_names)
                strange = sorted(set(columns) - known)
                if strange:
                    raise ValueError(
                        f"feeds.{name}.{place} names no column of {name}: {', '.join(strange)}"
                    )
            _require_allowed(name, settings)
        everywhere = {c for f in FEEDS.values() for c in f.column_names}
        unknown = sorted(set(self.own_numbers) - everywhere)
        if unknown:
            raise ValueError(f"own_numbers names no column of any feed: {', '.join(unknown)}")
        return self


class Settings(_Strict):
    """The whole file: what each source declares, and what the group says of all.

    ``removal_limit`` is the share that may vanish without being confirmed, of the records that were
    held before of what a file speaks for.
    ``closed_months`` gives for a month, as YYYY-MM, the day on which its books were closed.
    """

    removal_limit: Annotated[float, Field(ge=0, le=1)] = 0.05
    closed_months: dict[str, date] = {}
    sources: dict[str, SourceSettings] = {}

    @model_validator(mode="after")
    def _months_are_months(self) -> Self:
        for month, closed_on in self.closed_months.items():
            if not re.fullmatch(r"[12]\d{3}-(0[1-9]|1[0-2])", month):
                raise ValueError(f"closed_months.{month}: write the month as YYYY-MM")
            if closed_on.strftime("%Y-%m") <= month:
                raise ValueError(f"closed_months.{month}: a month is closed after it has ended")
        return self

    @model_validator(mode="after")
    def _sources_have_names(self) -> Self:
        for name in self.sources:
            if not _NAME.fullmatch(name):
                raise ValueError(
                    f"sources.{name}: write the name of a source in small letters, digits and _"
                )
        return self
