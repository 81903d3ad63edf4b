"""What the machine refuses while a file is read: no fault of the file, which is not set aside."""

import errno
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager

from pipelines.errors import DropError
from pipelines.room import NO_ROOM, NoRoom

_NO_RIGHT = {errno.EACCES, errno.EPERM, errno.EROFS}


@contextmanager
def machine_is_told_apart(name: str) -> Iterator[None]:
    """Tell a full disk and a missing right from a damaged file ``name``; else what came is raised.

    Raises:
        NoRoom, DropError: no room, no right; the run ends and nothing is changed.
    """
    try:
        yield
    except OSError as error:
        if error.errno in NO_ROOM or _is_without_scratch(error):
            raise NoRoom(
                f"There is no room to read {name}: {error.strerror}. Archives and files that are "
                f"no UTF-8 are first written into {_scratch()}.",
                "Free some room there, or let TMPDIR name a folder that has it, and run again. "
                "Nothing was changed.",
            ) from error
        if error.errno in _NO_RIGHT:
            raise DropError(
                f"{name} cannot be read: {error.strerror} ({error.filename or name}).",
                "Give this account the right to it and run again. Nothing was changed.",
            ) from error
        raise


def _is_without_scratch(error: OSError) -> bool:
    """No folder for temporary files could be written to."""
    return error.errno == errno.ENOENT and "temporary directory" in str(error)


def _scratch() -> str:
    try:
        return tempfile.gettempdir()
    except OSError:
        return "the folder for temporary files"
