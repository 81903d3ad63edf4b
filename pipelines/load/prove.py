"""What a text file is, proven from its bytes before anything is loaded from it.

One pass over the file: fingerprint, encoding, line ends, counts. Then the header, compared by name.
A file whose encoding, dialect or header cannot be proven is set aside whole.
"""

import codecs
import hashlib
import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from pipelines.feeds import FEEDS, Feed
from pipelines.load.drop import DropFile
from pipelines.load.headings import Heading, find_header
from pipelines.load.machine import machine_is_told_apart
from pipelines.load.transcode import WINDOWS_1252, Encoding, encoding_of, needs_copy, transcode
from pipelines.load.unpack import NotUnpacked, unpacked
from pipelines.sources.reading import Layout

_CHUNK = 1 << 22
#: More than the title lines and the header of any feed need.
_HEADER_BYTES = 1 << 18
#: Printable ASCII and line ends: no control characters, nothing to normalise.
_PLAIN = bytes(range(0x20, 0x7F)) + b"\r\n"


@dataclass
class Proof:
    """What was proven. ``text`` is the file as UTF-8 text on disk (a workbook stays one);
    ``set_aside`` is the reason in words when the file cannot be read."""

    text: Path
    sha256: str = ""
    size: int = 0
    total_lines: int = 0
    trailing_blank_lines: int = 0
    is_plain: bool = True
    is_utf8: bool = True
    has_nul: bool = False
    has_bare_cr: bool = False
    has_quotes: bool = True
    encoding: str = "utf-8"
    delimiter: str = ","
    header_lines: int = 1
    headings: tuple[Heading, ...] = ()
    layout: str = ""
    speaks_for: str = ""
    set_aside: str | None = None

    @property
    def file_id(self) -> str:
        """Names the file in every table: the first sixteen digits of its fingerprint.

        A header alone says something by its file's name: that a source, or its month, has nothing.
        So its name is of that too, or the empty files of two months would be one. What cannot be
        read is of its file's name: each of two empty files is told.
        """
        if not self.speaks_for:
            return self.sha256[:16]
        return hashlib.sha256(f"{self.sha256} {self.speaks_for}".encode()).hexdigest()[:16]

    @property
    def has_records(self) -> bool:
        """There is a line that is neither of the header nor blank at the end."""
        return self.total_lines > self.header_lines + self.trailing_blank_lines

    @property
    def is_one_line_header(self) -> bool:
        """No heading is broken over lines."""
        return not any("\n" in heading.text for heading in self.headings)

    @property
    def is_workbook(self) -> bool:
        return self.encoding == WORKBOOK


#: What stands for the encoding of a spreadsheet workbook.
WORKBOOK = "workbook"


@dataclass
class _Counts:
    """One pass over the bytes."""

    digest: str = ""
    size: int = 0
    newlines: int = 0
    returns: int = 0
    pairs: int = 0
    last: bytes = b""
    is_plain: bool = True
    has_nul: bool = False
    has_quotes: bool = False
    is_utf8: bool = True


@contextmanager
def proven(file: DropFile) -> Iterator[Proof]:
    """Prove one file. Never raises for its content: ``set_aside`` says what is wrong.

    The text that the proof names stands on disk until the context is left.

    Raises:
        NoRoom, DropError: the machine has no room to read it, or this account no right to.
    """
    with ExitStack() as stack:
        with machine_is_told_apart(file.name):
            try:
                if file.fault is not None:
                    raise NotUnpacked(file.fault)
                source = stack.enter_context(unpacked(file))
            except NotUnpacked as error:
                proof = _set_aside(file.path, str(error))
            else:
                proof = _prove(file, source, stack)
        proof.layout = file.layout.digest
        if proof.set_aside is not None:
            proof.speaks_for = file.name
        elif not proof.has_records:
            proof.speaks_for = file.match.speaks_for
        yield proof


def _prove(file: DropFile, source: Path, stack: ExitStack) -> Proof:
    if file.name.lower().removesuffix(".gz").endswith(".xlsx"):
        from pipelines.load.workbook import prove_workbook  # noqa: PLC0415  (openpyxl)

        return prove_workbook(source, FEEDS[file.feed], file.layout)
    scratch = stack.enter_context(TemporaryDirectory(prefix="ledgerstone-"))
    return _prove_text(source, FEEDS[file.feed], file.layout, Path(scratch))


def fingerprint(path: Path) -> tuple[str, int]:
    """SHA-256 and size of a file."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest(), path.stat().st_size


def _set_aside(path: Path, why: str) -> Proof:
    digest, size = fingerprint(path)
    return Proof(path, sha256=digest, size=size, set_aside=why)


def _prove_text(source: Path, feed: Feed, layout: Layout, scratch: Path) -> Proof:
    with source.open("rb") as stream:
        start = stream.read(_HEADER_BYTES)
    if not start:
        return _set_aside(source, "The file is empty (0 bytes): not even a header line.")
    encoding = encoding_of(start, layout.encoding)
    if needs_copy(start, encoding):
        text = scratch / "text"
        digest, size = transcode(source, text, encoding)
        counts = _count(text)
        with text.open("rb") as stream:
            start = stream.read(_HEADER_BYTES)
    else:
        text, counts = source, _count(source)
        digest, size = counts.digest, counts.size
    tail = counts.last.replace(b"\r\n", b"\n")
    proof = Proof(
        text,
        digest,
        size,
        total_lines=counts.newlines + (counts.size > 0 and not counts.last.endswith(b"\n")),
        trailing_blank_lines=max(0, len(tail) - len(tail.rstrip(b"\n")) - 1),
        # A CR inside a line is a control character in some field: nothing is plain then.
        is_plain=counts.is_plain and counts.returns == counts.pairs,
        is_utf8=counts.is_utf8,
        has_nul=counts.has_nul,
        has_bare_cr=counts.returns != counts.pairs,
        has_quotes=counts.has_quotes,
        encoding=encoding.name,
    )
    if encoding.name == WINDOWS_1252 and size != counts.size and _count(source).is_utf8:
        # Letters that decode as UTF-8 are UTF-8: read as declared, names would be damaged unseen.
        proof.set_aside = (
            "The settings declare WINDOWS-1252, but the file is UTF-8. Correct the encoding in the "
            "settings of its source."
        )
        return proof
    _prove_header(proof, feed, layout, start.removeprefix(codecs.BOM_UTF8), encoding)
    return proof


def _count(path: Path) -> _Counts:
    counts = _Counts()
    digest = hashlib.sha256()
    decoder = codecs.getincrementaldecoder("utf-8")()
    with path.open("rb") as stream, ThreadPoolExecutor(1) as beside:
        coming = stream.read(_CHUNK)
        while chunk := coming:
            # The fingerprint takes as long as the rest; it begins while the next chunk is read.
            hashed = beside.submit(digest.update, chunk)
            coming = stream.read(_CHUNK)
            counts.size += len(chunk)
            counts.newlines += chunk.count(b"\n")
            # To look for a byte is far cheaper than to count it, and most files have no CR.
            if b"\r" in chunk:
                counts.returns += chunk.count(b"\r")
                counts.pairs += chunk.count(b"\r\n")
            counts.has_quotes = counts.has_quotes or b'"' in chunk
            counts.pairs += counts.last.endswith(b"\r") and chunk.startswith(b"\n")
            if chunk.translate(None, _PLAIN):
                counts.is_plain = False
                counts.has_nul = counts.has_nul or b"\0" in chunk
                counts.is_utf8 = counts.is_utf8 and _decodes(decoder, chunk)
            counts.last = (counts.last + chunk)[-4096:]
            hashed.result()
    counts.is_utf8 = counts.is_utf8 and _decodes(decoder, b"", final=True)
    counts.digest = digest.hexdigest()
    return counts


def _decodes(decoder: codecs.IncrementalDecoder, chunk: bytes, final: bool = False) -> bool:
    try:
        decoder.decode(chunk, final)
    except UnicodeDecodeError:
        return False
    return True


def _prove_header(
    proof: Proof, feed: Feed, layout: Layout, start: bytes, encoding: Encoding
) -> None:
    lines = [line.decode("utf-8", "surrogateescape") for line in re.split(rb"\r?\n", start)]
    if start.endswith(b"\n"):
        lines.pop()
    header = find_header(lines, feed, layout)
    proof.delimiter, proof.headings = header.delimiter, header.headings
    proof.header_lines, proof.set_aside = header.lines, header.fault
    if header.fault and any("\udc80" <= mark <= "\udcff" for mark in "".join(lines[:50])):
        proof.set_aside = (
            f"The header is not {encoding.name.upper()} text. Export the file as UTF-8, or declare "
            "the encoding in the settings of its source."
        )
