"""Whose a file is, which feed it is and when it was exported, by its name."""

import difflib
import fnmatch
import re
from dataclasses import dataclass
from datetime import UTC, datetime

from pipelines.errors import DropError
from pipelines.feeds import FEEDS
from pipelines.sources.model import Settings

#: Endings of the files that can be read.
ENDINGS = (".csv", ".tsv", ".txt", ".xlsx")
#: An ISO date, with or without a time, anywhere in a file's name: when its source exported it.
_ISO_INSTANT = re.compile(r"(\d{4}-\d{2}-\d{2})(?:[T_ ]?(\d{2})[:.-]?(\d{2}))?")
_DIGITS = {"%Y": r"\d{4}", "%y": r"\d{2}", "%m": r"\d{2}", "%d": r"\d{2}", "%H": r"\d{2}",
           "%M": r"\d{2}", "%S": r"\d{2}"}  # fmt: skip


@dataclass(frozen=True)
class Match:
    """What a file's name says; ``exported_at`` is UTC, None where the name does not say it."""

    source: str
    feed: str
    exported_at: datetime | None


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
        return Match("", feed or feed_of(name), _iso_instant(name))
    source, its_feed, part = found[0]
    pattern = part.exported or settings.sources[source].exported
    found_at = next(iter(_instants(name, pattern)), None) if pattern else _iso_instant(name)
    return Match(source, its_feed, found_at)


def feed_of(name: str) -> str:
    """The feed whose name begins the file's name (longest wins)."""
    stem = re.sub(r"[\s-]+", "_", name.strip().lower())
    for feed in sorted(FEEDS, key=len, reverse=True):
        if re.match(rf"{feed}(?![a-z])", stem):
            return feed
    near = difflib.get_close_matches(re.split(r"[.\d]", stem)[0], FEEDS, n=1, cutoff=0.4)
    hint = f" Did you mean {near[0]}?" if near else ""
    raise DropError(
        f"{name} is of no known feed.{hint}",
        "Begin its name with the feed: " + ", ".join(FEEDS) + "; or give its pattern in the "
        "settings of its source; or move it out. Nothing was loaded.",
    )


def _instants(name: str, pattern: str) -> list[datetime]:
    """Every instant in the name that is written as the pattern says (UTC), in order."""
    found = []
    for text in re.findall(_as_expression(pattern), name):
        try:
            found.append(datetime.strptime(text, pattern).replace(tzinfo=UTC))
        except ValueError:
            continue
    return found


def _as_expression(pattern: str) -> str:
    parts = re.split(r"(%[A-Za-z])", pattern)
    inner = "".join(_DIGITS.get(part) or re.escape(part) for part in parts)
    return rf"(?<!\d){inner}(?!\d)"


def _iso_instant(name: str) -> datetime | None:
    for day, hour, minute in _ISO_INSTANT.findall(name):
        try:
            return datetime.fromisoformat(f"{day}T{hour or '00'}:{minute or '00'}").replace(
                tzinfo=UTC
            )
        except ValueError:
            continue
    return None
