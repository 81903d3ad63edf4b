"""Built beside, swapped in: a reader sees the old warehouse or the new one, never a mixture."""

import os
from pathlib import Path

_WAREHOUSE_MODE = 0o600


def beside(warehouse: Path) -> Path:
    """Where the next warehouse is built, on the same file system, hidden."""
    return warehouse.with_name(f".{warehouse.name}.building")


def clear(path: Path) -> None:
    """Remove what a killed run left."""
    for leftover in (path, path.with_name(f"{path.name}.wal")):
        leftover.unlink(missing_ok=True)


def swap_in(built: Path, warehouse: Path) -> None:
    """Put the finished file in place of the old one in one step, on disk before it is visible."""
    built.chmod(_WAREHOUSE_MODE)
    with built.open("rb") as stream:
        os.fsync(stream.fileno())
    built.replace(warehouse)
    folder = os.open(warehouse.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
