"""Which files a drop holds and which feed each one is."""

import difflib
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from pipelines.errors import DropError
from pipelines.feeds import FEEDS

#: An ISO date, with or without a time, anywhere in a file's name: when its source exported it.
_EXPORTED = re.compile(r"(\d{4}-\d{2}-\d{2})(?:[T_ ]?(\d{2})[:.-]?(\d{2}))?")


@dataclass(frozen=True)
class DropFile:
    """One file of a drop. ``exported_at`` is UTC, read from its name, or None."""

    path: Path
    feed: str
    exported_at: datetime | None

    @property
    def name(self) -> str:
        return self.path.name


def find_files(drop: Path) -> list[DropFile]:
    """The files of a drop folder, sorted by name.

    Raises:
        DropError: no such folder, an empty one, a file of no known feed, a required feed missing.
    """
    if not drop.exists():
        raise DropError(f"There is no folder {drop}.", "Check the path of the drop.")
    if not drop.is_dir():
        raise DropError(f"{drop} is a file, not a folder.", "Name the folder that holds it.")
    paths = sorted(p for p in drop.iterdir() if p.is_file() and not p.name.startswith("."))
    if not paths:
        inner = [p.name for p in sorted(drop.iterdir()) if p.is_dir()]
        hint = f" It holds folders ({', '.join(inner[:5])}): name the right one." if inner else ""
        raise DropError(f"The drop {drop} holds no files.{hint}", "Put the CSV exports there.")
    files = [DropFile(path, feed_of(path), exported_at(path.name)) for path in paths]
    return files


def require_feeds(present: set[str], drop: Path) -> None:
    """Raise DropError when a required feed is in neither the drop nor the warehouse."""
    missing = [f.name for f in FEEDS.values() if f.is_required and f.name not in present]
    if missing:
        raise DropError(
            f"The drop {drop} has no file of: {', '.join(missing)}.",
            f"Export it as {missing[0]}-YYYY-MM-DD.csv "
            f"(`ledgerstone template {missing[0]}` writes a blank one).",
        )


def feed_of(path: Path) -> str:
    """The feed whose name begins the file's name (longest wins)."""
    if path.suffix.lower() != ".csv":
        raise DropError(
            f"{path.name} is not a .csv file.",
            "Export it as CSV, or move it out of the drop. Nothing was loaded.",
        )
    stem = re.sub(r"[\s-]+", "_", path.stem.strip().lower())
    for name in sorted(FEEDS, key=len, reverse=True):
        if stem == name or re.match(rf"{name}[_.\d]", stem):
            return name
    near = difflib.get_close_matches(stem, FEEDS, n=1, cutoff=0.4)
    hint = f" Did you mean {near[0]}?" if near else ""
    raise DropError(
        f"{path.name} is of no known feed.{hint}",
        "Begin its name with the feed: " + ", ".join(FEEDS) + ". Or move it out. "
        "Nothing was loaded.",
    )


def exported_at(file_name: str) -> datetime | None:
    """When the source exported the file, by the ISO date (and time) in its name."""
    for found in _EXPORTED.finditer(file_name):
        day, hour, minute = found.groups()
        try:
            return datetime.fromisoformat(f"{day}T{hour or '00'}:{minute or '00'}").replace(
                tzinfo=UTC
            )
        except ValueError:
            continue
    return None
