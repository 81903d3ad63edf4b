"""Text of any proven encoding as UTF-8 on disk, so that one reader reads them all.

Bytes that do not decode stay undecodable in the copy: the reader names their records, and nothing
is replaced.
"""

import codecs
import hashlib
from dataclasses import dataclass
from pathlib import Path

_CHUNK = 1 << 22
_HANDLER = "ledgerstone_keep_undecodable"
WINDOWS_1252 = "windows-1252"
_CODECS = {"utf-8": "utf-8", "utf-16-le": "utf-16-le", "utf-16-be": "utf-16-be",
           WINDOWS_1252: "cp1252"}  # fmt: skip


def _keep_undecodable(error: UnicodeError) -> tuple[str, int]:
    """Put a mark that becomes the byte FF, which is never UTF-8, where bytes did not decode."""
    if not isinstance(error, UnicodeDecodeError):
        raise error
    return "\udcff", error.end


codecs.register_error(_HANDLER, _keep_undecodable)


@dataclass(frozen=True)
class Encoding:
    """``name`` as shown, and ``mark``, the bytes at the start that say so."""

    name: str
    mark: bytes = b""


def encoding_of(start: bytes, declared: str | None) -> Encoding:
    """The encoding that the first bytes prove, else the declared one, else UTF-8.

    A mark proves it. Without one, UTF-16 shows itself by a zero in every other byte of the header,
    which is plain letters in every feed.
    """
    for mark, name in (
        (codecs.BOM_UTF8, "utf-8"),
        (codecs.BOM_UTF16_LE, "utf-16-le"),
        (codecs.BOM_UTF16_BE, "utf-16-be"),
    ):
        if start.startswith(mark):
            return Encoding(name, mark)
    head = start[:64]
    if len(head) >= 4 and b"\0" in head:
        if not any(head[1::2]):
            return Encoding("utf-16-le")
        if not any(head[0::2]):
            return Encoding("utf-16-be")
    if declared == "utf-16":
        return Encoding("utf-16-le")
    return Encoding(declared or "utf-8")


def needs_copy(start: bytes, encoding: Encoding) -> bool:
    """A copy is needed unless the file is UTF-8 with LF or CRLF line ends."""
    is_old_line_end = b"\r" in start and b"\n" not in start
    return encoding.name != "utf-8" or is_old_line_end


def transcode(source: Path, target: Path, encoding: Encoding) -> tuple[str, int]:
    """Write ``source`` as UTF-8 to ``target``; gives the SHA-256 and size of ``source``.

    Line ends of CR alone become LF; CRLF stays.
    """
    digest, size = hashlib.sha256(), 0
    decoder = codecs.getincrementaldecoder(_CODECS[encoding.name])(_HANDLER)
    pending, is_cr_alone = "", None
    with source.open("rb") as stream, target.open("wb") as out:
        while True:
            chunk = stream.read(_CHUNK)
            digest.update(chunk)
            start = chunk if size else chunk.removeprefix(encoding.mark)
            size += len(chunk)
            text = pending + decoder.decode(start, final=not chunk)
            # A CR at the end of a chunk may be half of a CRLF.
            pending = "\r" if chunk and text.endswith("\r") else ""
            text = text.removesuffix("\r") if pending else text
            if is_cr_alone is None:
                is_cr_alone = "\r" in text and "\n" not in text
            out.write(_as_utf8(text.replace("\r", "\n") if is_cr_alone else text))
            if not chunk:
                return digest.hexdigest(), size


def _as_utf8(text: str) -> bytes:
    return text.encode("utf-8", "surrogateescape")
