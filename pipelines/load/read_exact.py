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
#: Records in one batch.
BATCH = 50_000


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


@dataclass(frozen=True)
class Dialect:
    """How the records are written; ``encoding`` is the file's own, for messages."""

    delimiter: str
    width: int
    header_lines: int = 1
    encoding: str = "utf-8"


def read_exact(path: Path, dialect: Dialect) -> Iterator[Batch]:
    """Yield the records after the header of a file of UTF-8 text, in batches.

    Every physical line after the header is in exactly one of: a record, a blank line, an unreadable
    line; their counts add up to the file's lines.
    """
    with path.open("rb") as stream:
        lines = _Lines(stream)
        for _ in range(dialect.header_lines):
            lines.take()
        batch = Batch()
        while first := lines.take():
            _add_record(first, lines, dialect, batch)
            if len(batch.records) >= BATCH:
                yield batch
                batch = Batch()
        yield batch


def _add_record(first: bytes, lines: _Lines, dialect: Dialect, batch: Batch) -> None:
    """Put the record that begins with the line ``first`` into the batch, or name why it is none."""
    line = lines.number
    if not first.strip(b"\r\n \t" + dialect.delimiter.encode()):
        batch.blank_lines += 1
        return
    if b"\0" in first:
        batch.unreadable.append(_unreadable(line, "a NUL byte", first))
        return
    taken: list[bytes] = []
    text = first
    fields, cause = _split(text, dialect)
    # A quote inside an unquoted field (5" urn) is text; only one that opens a field runs on.
    if fields is None and text.count(b'"') % 2:
        while text.count(b'"') % 2 and len(taken) < _MAX_LINES and (more := lines.take()):
            taken.append(more)
            text += more
        fields, cause = _split(text, dialect)
    if fields is None:
        lines.give_back(taken)
        if taken:
            cause = "a quote that is not closed"
        batch.unreadable.append(_unreadable(line, cause, first))
        return
    batch.records.append(fields)
    batch.lines.append(line)
    batch.record_lines += 1 + len(taken)


def _split(text: bytes, dialect: Dialect) -> tuple[list[str] | None, str]:
    """The fields of one record, or None and the cause in words."""
    width = dialect.width
    try:
        decoded = text.decode("utf-8")
    except UnicodeDecodeError as error:
        byte = f" (0x{text[error.start]:02X})" if dialect.encoding == "utf-8" else ""
        return None, f"a byte that is not {dialect.encoding.upper()}{byte}"
    record = decoded.removesuffix("\n").removesuffix("\r")
    if '"' not in record:
        fields = record.split(dialect.delimiter)
    else:
        try:
            rows = list(csv.reader([record], delimiter=dialect.delimiter, strict=True))
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
