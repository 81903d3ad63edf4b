"""The exact path: record by record, for files that the fast path cannot prove.

It finds the physical line of every record whatever stands between, keeps an unclosed quote from
swallowing the rest of the file, and names each piece of text that is no record. RFC 4180 records;
an end of line is LF or CRLF.
"""

import csv
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO

csv.field_size_limit(1 << 24)

#: A quoted field may run over this many lines; a quote still open after them is an unclosed one.
_MAX_LINES = 60
_BATCH = 50_000


@dataclass(frozen=True)
class Unreadable:
    """One line that could not be split into the header's fields."""

    line: int
    cause: str
    text: str


@dataclass
class Batch:
    """Records with their first physical line, and what was no record."""

    records: list[list[str]] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    unreadable: list[Unreadable] = field(default_factory=list)
    blank_lines: int = 0
    record_lines: int = 0


class _Lines:
    """Physical lines of a file, with their numbers; lines looked at can be given back."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream
        self._ahead: deque[bytes] = deque()
        self.number = 0

    def take(self) -> bytes:
        line = self._ahead.popleft() if self._ahead else self._stream.readline()
        self.number += bool(line)
        return line

    def give_back(self, lines: list[bytes]) -> None:
        self._ahead.extendleft(reversed(lines))
        self.number -= len(lines)


def read_exact(path: Path, delimiter: str, width: int) -> Iterator[Batch]:
    """Yield the file's records after the header, in batches.

    Every physical line after the first is in exactly one of: a record, a blank line, an unreadable
    line; their counts add up to the file's lines.
    """
    with path.open("rb") as stream:
        lines = _Lines(stream)
        lines.take()
        batch = Batch()
        while first := lines.take():
            _add_record(first, lines, delimiter, width, batch)
            if len(batch.records) >= _BATCH:
                yield batch
                batch = Batch()
        yield batch


def _add_record(first: bytes, lines: _Lines, delimiter: str, width: int, batch: Batch) -> None:
    """Put the record that begins with the line ``first`` into the batch, or name why it is none."""
    line = lines.number
    if not first.strip(b"\r\n \t" + delimiter.encode()):
        batch.blank_lines += 1
        return
    if b"\0" in first:
        batch.unreadable.append(_unreadable(line, "a NUL byte", first))
        return
    taken: list[bytes] = []
    text = first
    while text.count(b'"') % 2 and len(taken) < _MAX_LINES and (more := lines.take()):
        taken.append(more)
        text += more
    fields, cause = _split(text, delimiter, width)
    if fields is None:
        lines.give_back(taken)
        if taken:
            cause = "a quote that is not closed"
        batch.unreadable.append(_unreadable(line, cause, first))
        return
    batch.records.append(fields)
    batch.lines.append(line)
    batch.record_lines += 1 + len(taken)


def _split(text: bytes, delimiter: str, width: int) -> tuple[list[str] | None, str]:
    """The fields of one record, or None and the cause in words."""
    try:
        decoded = text.decode("utf-8")
    except UnicodeDecodeError as error:
        return None, f"a byte that is not UTF-8 (0x{text[error.start]:02X})"
    record = decoded.removesuffix("\n").removesuffix("\r")
    if '"' not in record:
        fields = record.split(delimiter)
    else:
        try:
            rows = list(csv.reader([record], delimiter=delimiter, strict=True))
        except csv.Error as error:
            return None, f"quotes that do not pair ({error})"
        if len(rows) != 1:
            return None, "quotes that do not pair"
        fields = rows[0]
    if len(fields) == width + 1 and not fields[-1]:
        fields = fields[:-1]
    if len(fields) != width:
        return None, f"{len(fields)} fields where the header has {width}"
    return fields, ""


def _unreadable(line: int, cause: str, text: bytes) -> Unreadable:
    shown = text.rstrip(b"\r\n")[:500].decode("utf-8", "backslashreplace")
    return Unreadable(line, cause, shown)
