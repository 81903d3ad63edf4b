"""A new folder takes the place of the old one in one step."""

import ctypes
import errno
import os
import shutil
import sys
from pathlib import Path

from pipelines.errors import LedgerstoneError

#: In the root of every site of ours; without it a folder is never replaced.
MARKER = ".ledgerstone-site"
_AT_FDCWD = -100
#: linux/fs.h: exchange two names in one step.
_RENAME_EXCHANGE = 2


class SiteNotWritable(LedgerstoneError):
    """The site folder cannot be made or replaced; the message says what to do."""


def building_folder(site: Path) -> Path:
    """An empty folder beside ``site`` to build in.

    Raises SiteNotWritable where it cannot be made, or where ``site`` holds files of somebody else.
    """
    if site.exists() and not site.is_dir():
        raise SiteNotWritable(f"{site} is a file. Name a folder for the pages.")
    if site.is_dir() and not (site / MARKER).is_file() and any(site.iterdir()):
        raise SiteNotWritable(
            f"{site} holds files that no run of ours made, and publishing replaces the whole "
            "folder. Name an empty or a new folder for the pages."
        )
    folder = _beside(site, "new")
    try:
        site.parent.mkdir(parents=True, exist_ok=True)
        recover(site)
        if folder.exists():
            shutil.rmtree(folder)
        folder.mkdir(mode=0o750)
    except OSError as error:
        raise SiteNotWritable(
            f"Pages cannot be built beside {site}: {error.strerror or error}. Give this account "
            f"the right to write in {site.parent}, or name another folder. The pages that are "
            "there are untouched."
        ) from error
    return folder


def require_writable(site: Path) -> None:
    """Raise SiteNotWritable now rather than after the work of a run."""
    building_folder(site.resolve()).rmdir()


def swap(folder: Path, site: Path) -> None:
    """Put ``folder`` in the place of ``site``. A reader sees the old pages or the new ones."""
    old = _beside(site, "old")
    try:
        if not site.exists():
            folder.rename(site)
        elif _exchanged(folder, site):
            old = folder
        else:
            # Two renames: where a kill falls between them, the next run puts the old pages back.
            site.rename(old)
            folder.rename(site)
    except OSError as error:
        raise SiteNotWritable(
            f"The new pages are built in {folder} but {site} cannot be replaced: "
            f"{error.strerror or error}. Give this account the right to rename it, then run again."
        ) from error
    shutil.rmtree(old, ignore_errors=True)


def recover(site: Path) -> None:
    """Undo what a kill in the middle of ``swap`` left: old pages are put back or cleared away."""
    old = _beside(site, "old")
    if not old.exists():
        return
    if site.exists():
        shutil.rmtree(old)
    else:
        old.rename(site)


def close_modes(folder: Path) -> None:
    """Files 0640, folders 0750: the group may read, the world may not."""
    folder.chmod(0o750)
    for path in folder.rglob("*"):
        path.chmod(0o750 if path.is_dir() else 0o640)


def _beside(site: Path, role: str) -> Path:
    return site.with_name(f".{site.name}.{role}")


def _exchanged(one: Path, other: Path) -> bool:
    """Exchange two folders in one step where the system can (Linux, renameat2)."""
    if not sys.platform.startswith("linux"):
        return False
    rename = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if rename is None:
        return False
    names = (os.fsencode(one.absolute()), os.fsencode(other.absolute()))
    if rename(_AT_FDCWD, names[0], _AT_FDCWD, names[1], _RENAME_EXCHANGE) == 0:
        return True
    if ctypes.get_errno() in {errno.EINVAL, errno.ENOSYS, errno.EOPNOTSUPP}:
        return False
    raise OSError(ctypes.get_errno(), os.strerror(ctypes.get_errno()))
