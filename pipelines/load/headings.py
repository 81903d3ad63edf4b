"""The header of a file, compared by name with what the feed declares."""

import csv
import difflib
import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pipelines.feeds import Feed
from pipelines.sources.reading import Layout

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "pipe"}
#: A heading may be broken over this many lines, in quotes.
_MOST_HEADER_LINES = 20


@dataclass(frozen=True)
class Heading:
    """One heading of a file: as written, and the declared column it is (None: an extra one)."""

    position: int
    text: str
    column: str | None


@dataclass(frozen=True)
class Header:
    """A header as it was read. ``lines`` are all physical lines up to its last; ``fault`` says in
    words why it is none."""

    delimiter: str = ","
    headings: tuple[Heading, ...] = ()
    lines: int = 0
    fault: str | None = None

    @property
    def known(self) -> int:
        """How many headings are declared columns."""
        return sum(heading.column is not None for heading in self.headings)


def canonical(heading: str) -> str:
    """A heading as it is compared: case folded; space, hyphen and underscore alike."""
    return re.sub(r"[\s_\-\u00a0]+", "_", heading.strip().casefold()).strip("_")


def find_header(lines: Sequence[str], feed: Feed, layout: Layout) -> Header:
    """Read the header that begins after the declared lines above it.

    ``lines`` are the first physical lines of the file, without their ends. The delimiter is the
    declared one, else the one under which most headings are known.
    """
    above = layout.lines_above_header
    if len(lines) <= above or not lines[above].strip():
        return Header(lines=above, fault=f"Line {above + 1} is blank: the header must stand there."
                      + _hint(lines, feed, layout))  # fmt: skip
    header = _read_at(lines, above, feed, layout)
    if header.fault is None:
        return header
    hint = _hint(lines, feed, layout)
    if not hint and header.known == 0 and (likely := _likely(lines, feed, layout)):
        hint = (
            f" Line {likely.lines} has the most fields ({len(likely.headings)}): if it is the "
            f"header, say lines_above_header = {likely.lines - 1} in the settings of its source."
        )
        header = likely
    return Header(header.delimiter, header.headings, header.lines, (header.fault or "") + hint)


def check_headings(cells: Sequence[str], feed: Feed, layout: Layout) -> Header:
    """The header that cells make, with its fault if it is none."""
    headings = _headings(cells, _names(feed, layout))
    return Header(headings=headings, fault=_fault(headings, feed, layout))


def _read_at(lines: Sequence[str], at: int, feed: Feed, layout: Layout) -> Header:
    text, last = lines[at], at
    while text.count('"') % 2 and last + 1 < min(len(lines), at + _MOST_HEADER_LINES):
        last += 1
        text += "\n" + lines[last]
    names = _names(feed, layout)
    tried = [layout.delimiter] if layout.delimiter else list(DELIMITERS)
    read = {d: _headings(_cells(text, d), names) for d in tried}
    best = max(tried, key=lambda d: (sum(h.column is not None for h in read[d]), len(read[d])))
    return Header(best, read[best], last + 1, _fault(read[best], feed, layout))


def _names(feed: Feed, layout: Layout) -> Callable[[str], str | None]:
    declared = {canonical(c.name): c.name for c in feed.columns}
    declared |= {canonical(a): c.name for c in feed.columns for a in c.aliases}
    mapped = {canonical(heading): column for heading, column in layout.headings.items()}
    # A column that the settings take from another heading, or fill, is not taken by its own name.
    taken = {*mapped.values(), *layout.filled}
    declared = {name: column for name, column in declared.items() if column not in taken}
    return lambda cell: (declared | mapped).get(canonical(cell))


def _headings(cells: Sequence[str], known: Callable[[str], str | None]) -> tuple[Heading, ...]:
    return tuple(Heading(i, cell.strip(), known(cell)) for i, cell in enumerate(cells))


def _cells(text: str, delimiter: str) -> list[str]:
    try:
        lines = text.splitlines(keepends=True)
        return next(csv.reader(lines, delimiter=delimiter, strict=True), [])
    except csv.Error:
        return text.split(delimiter)


def _fault(headings: Sequence[Heading], feed: Feed, layout: Layout) -> str | None:
    named = Counter(h.column or h.text for h in headings if h.text)
    doubled = [name for name, times in named.items() if times > 1]
    if doubled:
        return f"The header names a column twice: {', '.join(doubled)}."
    present = {h.column for h in headings} | set(layout.filled)
    missing = sorted({c.name for c in feed.columns if c.is_required} - present)
    if missing:
        return "The header lacks " + "; ".join(_missing(m, headings) for m in missing) + "."
    return None


def _missing(column: str, headings: Sequence[Heading]) -> str:
    unused = [h.text for h in headings if h.column is None and h.text]
    near = nearest(column, unused)
    return f"{column} (nearest heading: {near!r})" if near else column


def nearest(column: str, headings: Sequence[str]) -> str | None:
    """The heading most like a column's name, compared as headings are; None when none is near."""
    by_name = {canonical(heading): heading for heading in headings}
    found = difflib.get_close_matches(column, by_name, n=1, cutoff=0.5)
    return by_name[found[0]] if found else None


def _likely(lines: Sequence[str], feed: Feed, layout: Layout) -> Header | None:
    """The line elsewhere that has the most fields, as many as the line under it."""
    read = [
        _read_at(lines, at, feed, Layout(delimiter=delimiter, headings=layout.headings))
        for at in range(min(len(lines) - 1, 30))
        for delimiter in ([layout.delimiter] if layout.delimiter else DELIMITERS)
        if at != layout.lines_above_header
        and lines[at].count(delimiter) == lines[at + 1].count(delimiter) >= 2
    ]
    return max(read, key=lambda header: len(header.headings), default=None)


def _hint(lines: Sequence[str], feed: Feed, layout: Layout) -> str:
    """Where the header seems to stand, if not where it is looked for."""
    for at in range(min(len(lines), 30)):
        if at == layout.lines_above_header or not lines[at].strip():
            continue
        if _read_at(lines, at, feed, layout).fault is None:
            return (
                f" Line {at + 1} looks like the header: say lines_above_header = {at} "
                "in the settings of its source."
            )
    return ""
