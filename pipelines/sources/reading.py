"""How the values of one file are read: what its source declares, laid over the feed."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field

from pipelines.sources.model import FeedSettings, Settings

_DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "pipe": "|"}


@dataclass(frozen=True)
class Layout:
    """How a file becomes records; a change of it means reading the file anew."""

    delimiter: str | None = None
    encoding: str | None = None
    lines_above_header: int = 0
    sheet: str | None = None
    headings: Mapping[str, str] = field(default_factory=dict)
    filled: tuple[str, ...] = ()

    @property
    def digest(self) -> str:
        """Names the layout; layouts that read alike have one digest."""
        return _digest(asdict(self))


#: Files of no source of their own: laid out as the feeds declare.
AS_DECLARED = Layout()


@dataclass(frozen=True)
class Reading:
    """How the text of a file's fields becomes values.

    ``source`` is named only where ``own`` needs it, so that sources that write alike are one
    reading. ``blank_words``: column -> words that mean blank. ``codes``: column -> theirs -> ours.
    ``own``: columns whose numbers are the source's own.
    """

    source: str = ""
    dates: str = "year-month-day"
    decimal: str = "point"
    zone: str | None = None
    fill: Mapping[str, str] = field(default_factory=dict)
    codes: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    blank_words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    own: frozenset[str] = frozenset()

    @property
    def is_declared(self) -> bool:
        """The values are written as the feed declares them, and nothing else is to be done."""
        return self == DECLARED


#: Files of no source of their own: written as the feeds declare.
DECLARED = Reading()


def layout_of(settings: Settings, source: str, feed: str) -> Layout:
    """The layout of a source's files of a feed."""
    if source not in settings.sources:
        return AS_DECLARED
    whole, part = settings.sources[source], _part(settings, source, feed)
    delimiter = part.delimiter or whole.delimiter
    return Layout(
        _DELIMITERS[delimiter] if delimiter else None,
        part.encoding or whole.encoding,
        part.lines_above_header,
        part.sheet,
        part.headings,
        tuple(sorted(part.fill)),
    )


def reading_of(settings: Settings, source: str, feed: str, columns: tuple[str, ...]) -> Reading:
    """How a source's values of a feed are read; DECLARED for a source that says nothing."""
    if source not in settings.sources:
        return DECLARED
    whole, part = settings.sources[source], _part(settings, source, feed)
    words = {name: tuple(whole.blank_words) for name in columns if whole.blank_words}
    words |= {name: tuple(given) for name, given in part.blank_words.items()}
    own = frozenset(whole.own_numbers) & set(columns)
    return Reading(
        source=source if own else "",
        dates=part.dates or whole.dates or DECLARED.dates,
        decimal=part.decimal or whole.decimal or DECLARED.decimal,
        zone=part.zone or whole.zone,
        fill=part.fill,
        codes=part.codes,
        blank_words={name: given for name, given in words.items() if given},
        units=part.units,
        own=own,
    )


#: For a feed that the settings no longer name, though files of it were loaded.
_NOTHING_SAID = FeedSettings(files=["*"])


def _part(settings: Settings, source: str, feed: str) -> FeedSettings:
    return settings.sources[source].feeds.get(feed, _NOTHING_SAID)


def _digest(value: object) -> str:
    return hashlib.sha256(json.dumps(value, sort_keys=True).encode()).hexdigest()[:16]
