"""A full disk, or a place where nothing can be made, is told with what to do."""

import errno
import os
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from pipelines.errors import LedgerstoneError

#: A full disk, a spent quota, a limit on the size of files.
NO_ROOM = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_WORDS = [os.strerror(number) for number in sorted(NO_ROOM)]


class NoRoom(LedgerstoneError):
    """There is no room left where something is written."""


class NotWritten(LedgerstoneError):
    """A file cannot be made where the caller wants it."""


@contextmanager
def room_in(folder: Path, instead: str) -> Iterator[None]:
    """Tell a full disk as such, whichever library met it.

    ``folder`` is where the block writes, unless the error names another place; ``instead`` says
    what may be done rather than make room there.

    Raises:
        NoRoom: names what is full.
    """
    try:
        yield
    except NoRoom:
        raise
    except Exception as error:
        told = no_room(error, folder, instead)
        if told is None:
            raise
        raise told from error


@contextmanager
def new_file(path: Path, instead: str, mode: int = 0o666) -> Iterator[None]:
    """Make the empty file ``path`` for the block to fill; it is removed where that fails.

    Raises:
        NotWritten: it exists, or cannot be made; ``instead`` says what to do.
        NoRoom: its folder is full.
    """
    with room_in(path.parent, instead):
        try:
            os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode))
        except FileExistsError as error:
            raise NotWritten(f"{path} exists already.", f"{_sentence(instead)}.") from error
        except OSError as error:
            raise _not_written(path, error, instead) from error
        try:
            yield
        except BaseException:
            path.unlink(missing_ok=True)
            raise


def make_folder(path: Path, instead: str) -> None:
    """Make the folder and those above it.

    Raises:
        NotWritten, NoRoom: it cannot be made; ``instead`` says what to do.
    """
    with room_in(path.parent, instead):
        try:
            path.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise _not_written(path, error, instead) from error


def _not_written(path: Path, error: OSError, instead: str) -> NotWritten:
    return NotWritten(f"{path} cannot be written: {error.strerror}.", f"{_sentence(instead)}.")


def no_room(error: BaseException, folder: Path | None = None, instead: str = "") -> NoRoom | None:
    """The error in words where it, or what it came from, is a lack of room; else None."""
    found = _refusal(error)
    if found is None:
        return None
    words, named = found
    if folder is not None and (named is None or _is_in(named, folder)):
        return _told(words, str(folder.resolve()), instead)
    if named is not None and _is_in(named, Path(tempfile.gettempdir())):
        return _told(words, tempfile.gettempdir(), "let TMPDIR name a folder that has it")
    return _told(words, str(named.parent) if named else "the folder that is written to", "")


def _told(words: str, place: str, instead: str) -> NoRoom:
    also = f", or {instead}" if instead else ""
    return NoRoom(f"There is no room left in {place}: {words}.", f"Make room there{also}.")


def _refusal(error: BaseException | None) -> tuple[str, Path | None] | None:
    """The system's words, and the path that the error names."""
    while error is not None:
        if isinstance(error, OSError) and error.errno in NO_ROOM:
            path = error.filename2 or error.filename
            return os.strerror(error.errno), Path(path) if isinstance(path, str) else None
        for words in _WORDS:
            # Other languages' libraries raise errors of their own that only say it.
            if words in str(error):
                path = re.search(rf"[\"'](/[^\"'\n]*)[\"']: {words}", str(error))
                return words, Path(path.group(1)) if path else None
        error = error.__cause__ or (None if error.__suppress_context__ else error.__context__)
    return None


def _is_in(path: Path, folder: Path) -> bool:
    return path.resolve().is_relative_to(folder.resolve())


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
