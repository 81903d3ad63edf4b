"""A file of a drop as plain bytes on disk: archives unpacked, within bounds."""

import gzip
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from pipelines.load.drop import DropFile
from pipelines.load.machine import machine_is_told_apart

_CHUNK = 1 << 20
#: What gzip, zlib and zipfile raise for an archive's own fault. With RuntimeError, or a kind of it,
#: zipfile says that a member needs a password or is packed in a way that it does not know.
_ARCHIVE_FAULTS = (OSError, EOFError, zlib.error, zipfile.BadZipFile, RuntimeError)
#: An archive may unpack to this much, and beyond the free part only to so many times its own size:
#: text of records packs about ten times, an archive made to fill a disk a thousand times.
LARGEST_UNPACKED = 64 << 30
FREE_UNPACKED = 256 << 20
LARGEST_RATIO = 200


class NotUnpacked(Exception):
    """The archive cannot be unpacked; the message says why, for the reason of setting aside."""


@contextmanager
def unpacked(file: DropFile) -> Iterator[Path]:
    """The bytes of the file: itself, or unpacked beside into a scratch folder.

    Raises:
        NotUnpacked: damaged, encrypted, or larger than the bounds.
        NoRoom, DropError: the machine has no room for it, or this account no right to it.
    """
    name = file.member or file.path.name
    if file.member is None and not name.lower().endswith(".gz"):
        yield file.path
        return
    with tempfile.TemporaryDirectory(prefix="ledgerstone-") as scratch:
        target = Path(scratch) / "unpacked"
        try:
            with machine_is_told_apart(file.name):
                _unpack(file, name, target)
        except _ARCHIVE_FAULTS as error:
            raise NotUnpacked(f"The archive cannot be unpacked: {error}. Pack it again.") from error
        yield target


def _unpack(file: DropFile, name: str, target: Path) -> None:
    if file.member is None:
        with gzip.open(file.path) as packed:
            _copy(packed, target, file.path.stat().st_size)
        return
    with zipfile.ZipFile(file.path) as archive:
        size = archive.getinfo(file.member).compress_size
        with archive.open(file.member) as member:
            if name.lower().endswith(".gz"):
                with gzip.open(member) as packed:
                    _copy(packed, target, size)
            else:
                _copy(member, target, size)


def _copy(source: IO[bytes] | gzip.GzipFile, target: Path, packed_size: int) -> None:
    most = min(LARGEST_UNPACKED, max(FREE_UNPACKED, packed_size * LARGEST_RATIO))
    written = 0
    with target.open("wb") as out:
        while chunk := source.read(_CHUNK):
            written += len(chunk)
            if written > most:
                raise NotUnpacked(
                    f"The archive unpacks to more than {most:,} bytes, {LARGEST_RATIO} times its "
                    "own size or more. Put the file into the drop unpacked."
                )
            out.write(chunk)


