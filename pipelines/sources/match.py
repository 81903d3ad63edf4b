"""Whose a file is, which feed it is, when it was exported and what it speaks for, by its name."""

import difflib
import fnmatch
import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from pipelines.errors import DropError
from pipelines.feeds import FEEDS, GROUP_FEEDS
from pipelines.sources.model import FeedSettings, Settings

#: Endings of the files that can be read.
ENDINGS = (".csv", ".tsv", ".txt", ".xlsx")
#: An ISO date, with or without a time, anywhere in a file's name: when its source exported it. The
#: year of a second date is no time. Without hyphens it is one of this century, and alone: a longer
#: number is no date.
_ISO_INSTANT = re.compile(
    r"(\d{4}-\d{2}-\d{2}|(?<!\d)20\d{6}(?!\d))"
    r"(?:([T_ ]?)(\d{2})[:.-]?(\d{2})(?:[:.-]?\d{2})?(?!\d|-\d\d))?"
)
#: A name says no zone: a day ends last in the westernmost, twelve hours behind UTC.
_WESTERNMOST = timedelta(hours=12)
_STEPS = {"%S": timedelta(seconds=1), "%M": timedelta(minutes=1), "%H": timedelta(hours=1)}
_DIGITS = {"%Y": r"[12]\d{3}", "%y": r"\d{2}", "%m": r"\d{2}", "%d": r"\d{2}", "%H": r"\d{2}",
           "%M": r"\d{2}", "%S": r"\d{2}"}  # fmt: skip


@dataclass(frozen=True)
class Match:
    """What a file's name says; ``exported_at`` is UTC, None where the name does not say it;
    ``slice`` is what the file speaks for beyond its own records; ``exported_at_latest`` is the
    last instant (UTC) at which the name can have been right, in whatever zone it was written."""

    source: str
    feed: str
    exported_at: datetime | None
    slice: "Slice | None" = None
    exported_at_latest: datetime | None = None

    @property
    def speaks_for(self) -> str:
        """Whose records of which days the file is about, as text."""
        days = (self.slice.first, self.slice.until) if self.slice else ()
        return " ".join([self.source, self.feed, *map(str, days)])


@dataclass(frozen=True)
class Slice:
    """What a file speaks for: the days from ``first`` to before ``until``; None: everything."""

    first: date | None = None
    until: date | None = None


EVERYTHING = Slice()


def match(name: str, settings: Settings, feed: str | None = None) -> Match:
    """Tell what the file ``name`` is (a bare name, no folder); ``feed`` where that is known.

    Raises:
        DropError: of no known feed, or of two sources.
    """
    found = [
        (source, its_feed, part)
        for source, whole in settings.sources.items()
        for its_feed, part in whole.feeds.items()
        if feed in {None, its_feed}
        and any(fnmatch.fnmatchcase(name.lower(), pattern.lower()) for pattern in part.files)
    ]
    if len(found) > 1:
        both = " and ".join(f"{source}.{its_feed}" for source, its_feed, _ in found)
        raise DropError(
            f"{name} fits the file patterns of {both}.", "Make the patterns in the settings tell."
        )
    if not found:
        first, latest = _exported(_iso_instants(name))
        return Match("", feed or feed_of(name), first, None, latest)
    source, its_feed, part = found[0]
    of_slice = slice_of(name, settings, source, its_feed)
    if part.slice == "period" and of_slice is None:
        raise DropError(
            f"{name} does not name its period as the settings say ({part.period}).",
            "Name the file so, or correct the period in the settings. Nothing was loaded.",
        )
    pattern = part.exported or settings.sources[source].exported
    first, latest = _exported(
        [(at, _ended(at, pattern)) for at, _ in _instants(name, pattern)] if pattern
        else _iso_instants(_without_period(name, part))
    )  # fmt: skip
    return Match(source, its_feed, first, of_slice, latest)


def slice_of(name: str, settings: Settings, source: str, feed: str) -> Slice | None:
    """What a file of the source and feed speaks for by its name; None: its own records alone."""
    if FEEDS[feed].is_whole:
        return EVERYTHING
    part = settings.sources[source].feeds.get(feed) if source in settings.sources else None
    if part is None or part.slice is None:
        return None
    if part.period is None:
        return EVERYTHING
    exported = part.exported or settings.sources[source].exported
    if exported and exported != part.period:
        # An export's date may look like a period: 20-06-2026 like the month 06-2026.
        for _, text in _instants(name, exported)[:1]:
            rest = name.replace(text, " ", 1)
            name = rest if _instants(rest, part.period) else name
    named = [at.date() for at, _ in _instants(name, part.period)[:2]]
    if not named:
        return None
    return Slice(named[0], _after(named[-1], part.period))


def _after(day: date, pattern: str) -> date:
    """The first day after the day, month or year that the pattern names."""
    if "%d" in pattern:
        return day + timedelta(days=1)
    if "%m" in pattern:
        return (day.replace(day=1) + timedelta(days=32)).replace(day=1)
    return day.replace(year=day.year + 1, month=1, day=1)


def _without_period(name: str, part: FeedSettings) -> str:
    """The name without the period in it, which is no export date."""
    for _, text in _instants(name, part.period)[:2] if part.period else []:
        name = name.replace(text, "", 1)
    return name


def feed_of(name: str) -> str:
    """The feed whose name begins the file's name (longest wins)."""
    stem = re.sub(r"[\s-]+", "_", name.strip().lower())
    for feed in sorted(FEEDS, key=len, reverse=True):
        if re.match(rf"{feed}(?![a-z])", stem):
            return feed
    near = difflib.get_close_matches(re.split(r"[.\d]", stem)[0], GROUP_FEEDS, n=1, cutoff=0.5)
    hint = f" Did you mean {near[0]}?" if near else ""
    raise DropError(
        f"{name} is of no known feed.{hint}",
        "Begin its name with the feed (" + ", ".join(GROUP_FEEDS) + "), or give its pattern in the "
        "settings of its source, or move it out. `ledgerstone check FILE --feed FEED` proposes "
        "settings. Nothing was loaded.",
    )


def _instants(name: str, pattern: str) -> list[tuple[datetime, str]]:
    """Every instant (UTC) in the name that is written as the pattern says, with its text."""
    found = []
    for text in re.findall(_as_expression(pattern), name):
        try:
            found.append((datetime.strptime(text, pattern).replace(tzinfo=UTC), text))
        except ValueError:
            continue
    return found


def _as_expression(pattern: str) -> str:
    parts = re.split(r"(%[A-Za-z])", pattern)
    inner = "".join(_DIGITS.get(part) or re.escape(part) for part in parts)
    # A month is not looked for inside a date.
    alone = "" if "%d" in pattern else r"(?!-\d\d(?!\d))"
    return rf"(?<!\d){inner}(?!\d){alone}"


def _iso_instants(name: str) -> list[tuple[datetime, datetime]]:
    """Every ISO date or minute in the name, and when its day has ended everywhere.

    Digits after a date order the exports of a day. That they are a time on a clock of 24 hours, and
    no running number, only the T of ISO 8601 says, or a declared pattern.
    """
    found = []
    for day, mark, hour, minute in _ISO_INSTANT.findall(name):
        try:
            at = datetime.fromisoformat(f"{day}T{hour or '00'}:{minute or '00'}")
        except ValueError:
            continue
        at = at.replace(tzinfo=UTC)
        found.append((at, _ended(at, "%Y-%m-%dT%H:%M" if mark == "T" else "%Y-%m-%d")))
    return found


def _ended(at: datetime, pattern: str) -> datetime:
    """When the minute, day, month and so on that the pattern names has ended everywhere."""
    step = next((_STEPS[sign] for sign in _STEPS if sign in pattern), None)
    try:
        end = at + step if step else datetime.combine(_after(at.date(), pattern), time(), UTC)
        return end + _WESTERNMOST
    except (OverflowError, ValueError):
        return datetime.max.replace(tzinfo=UTC)


def _exported(
    found: list[tuple[datetime, datetime]],
) -> tuple[datetime | None, datetime | None]:
    """When a file was exported: the first instant in its name, and the latest it can have been.

    A name may hold more dates than that of the export: the latest is that of all of them.
    """
    if not found:
        return None, None
    return found[0][0], max(latest for _, latest in found)
