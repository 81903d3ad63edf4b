"""What a file is, proven from its bytes before anything is loaded from it.

One pass over the file: fingerprint, encoding, line ends, counts. Then the header, compared by name.
A file whose encoding, dialect or header cannot be proven is set aside whole.
"""

import codecs
import csv
import difflib
import hashlib
import re
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from pipelines.feeds import Feed

_CHUNK = 1 << 22
_DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "pipe"}
#: More than any heading line of a known feed needs.
_HEADER_BYTES = 1 << 18
#: Printable ASCII and line ends: no control characters, nothing to normalise.
_PLAIN = bytes(range(0x20, 0x7F)) + b"\r\n"


@dataclass(frozen=True)
class Heading:
    """One heading of a file: as written, and the declared column it is (None: an extra one)."""

    position: int
    text: str
    column: str | None


@dataclass
class Proof:
    """What was proven. ``set_aside`` is the reason in words when the file cannot be read."""

    sha256: str = ""
    size: int = 0
    total_lines: int = 0
    trailing_blank_lines: int = 0
    is_plain: bool = True
    is_utf8: bool = True
    has_nul: bool = False
    has_bare_cr: bool = False
    encoding: str = "utf-8"
    delimiter: str = ","
    headings: list[Heading] = field(default_factory=list)
    set_aside: str | None = None

    @property
    def file_id(self) -> str:
        """Names the file in every table: the first sixteen digits of its fingerprint."""
        return self.sha256[:16]


def prove(path: Path, feed: Feed) -> Proof:
    """Prove one file. Never raises for its content: ``set_aside`` says what is wrong."""
    proof = _scan(path)
    if proof.size == 0:
        proof.set_aside = "The file is empty (0 bytes): not even a header line."
        return proof
    with path.open("rb") as stream:
        start = stream.read(_HEADER_BYTES)
    if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        proof.set_aside = "The file is UTF-16 text. Export it as UTF-8."
        return proof
    _prove_header(proof, feed, start.removeprefix(codecs.BOM_UTF8))
    return proof


def _scan(path: Path) -> Proof:
    proof = Proof()
    digest = hashlib.sha256()
    decoder = codecs.getincrementaldecoder("utf-8")()
    newlines = returns = pairs = 0
    last = b""
    with path.open("rb") as stream:
        while chunk := stream.read(_CHUNK):
            digest.update(chunk)
            proof.size += len(chunk)
            newlines += chunk.count(b"\n")
            returns += chunk.count(b"\r")
            pairs += chunk.count(b"\r\n") + (last.endswith(b"\r") and chunk.startswith(b"\n"))
            if chunk.translate(None, _PLAIN):
                proof.is_plain = False
                proof.has_nul = proof.has_nul or b"\0" in chunk
                proof.is_utf8 = proof.is_utf8 and _decodes(decoder, chunk)
            last = (last + chunk)[-4096:]
    proof.is_utf8 = proof.is_utf8 and _decodes(decoder, b"", final=True)
    proof.sha256 = digest.hexdigest()
    proof.has_bare_cr = returns != pairs
    proof.total_lines = newlines + (proof.size > 0 and not last.endswith(b"\n"))
    tail = last.replace(b"\r\n", b"\n")
    proof.trailing_blank_lines = max(0, len(tail) - len(tail.rstrip(b"\n")) - 1)
    return proof


def _decodes(decoder: codecs.IncrementalDecoder, chunk: bytes, final: bool = False) -> bool:
    try:
        decoder.decode(chunk, final)
    except UnicodeDecodeError:
        return False
    return True


def canonical(heading: str) -> str:
    """A heading as it is compared: case folded; space, hyphen and underscore alike."""
    return re.sub(r"[\s_\-\u00a0]+", "_", heading.strip().casefold()).strip("_")


def _prove_header(proof: Proof, feed: Feed, start: bytes) -> None:
    first_line = re.split(rb"\r?\n", start, maxsplit=1)[0]
    try:
        text = first_line.decode("utf-8")
    except UnicodeDecodeError:
        proof.set_aside = "The header line is not UTF-8 text. Export the file as UTF-8."
        return
    if not text.strip():
        proof.set_aside = "The first line is blank: the header must be the first line."
        return
    by_name = {canonical(c.name): c.name for c in feed.columns}
    by_name |= {canonical(a): c.name for c in feed.columns for a in c.aliases}
    required = {c.name for c in feed.columns if c.is_required}
    read = {d: _headings(text, d, by_name) for d in _DELIMITERS}
    best = max(read, key=lambda d: (sum(h.column is not None for h in read[d]), len(read[d])))
    headings = read[best]
    named = Counter(h.column or h.text for h in headings if h.text)
    doubled = [name for name, times in named.items() if times > 1]
    missing = sorted(required - {h.column for h in headings})
    if doubled:
        proof.set_aside = f"The header names a column twice: {', '.join(doubled)}."
    elif missing:
        proof.set_aside = "The header lacks " + "; ".join(_missing(m, headings) for m in missing)
    proof.delimiter, proof.headings = best, headings


def _missing(column: str, headings: list[Heading]) -> str:
    unused = [h.text for h in headings if h.column is None and h.text]
    near = difflib.get_close_matches(column, unused, n=1, cutoff=0.5)
    return f"{column} (nearest heading: {near[0]!r})" if near else column


def _headings(line: str, delimiter: str, by_name: dict[str, str]) -> list[Heading]:
    try:
        cells = next(csv.reader([line], delimiter=delimiter, strict=True), [])
    except csv.Error:
        cells = line.split(delimiter)
    return [
        Heading(i, cell.strip(), by_name.get(canonical(cell))) for i, cell in enumerate(cells)
    ]
