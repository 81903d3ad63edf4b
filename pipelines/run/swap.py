"""Built beside, swapped in: a reader sees the old warehouse or the new one, never a mixture."""

import os
import shutil
from pathlib import Path

from pipelines.errors import WarehouseError

_WAREHOUSE_MODE = 0o600
#: dbt names the database after the file: one name for all, so that its kept reading fits any run.
BUILT_NAME = "ledgerstone.duckdb"


def behind_links(warehouse: Path) -> Path:
    """The file that the name stands for: swapped in under the name of a link, a new warehouse would
    take the link's place and leave the old one where it was.

    Raises:
        WarehouseError: the links lead nowhere.
    """
    if not warehouse.is_symlink():
        return warehouse
    try:
        return warehouse.resolve()
    except (OSError, RuntimeError) as error:
        raise WarehouseError(
            f"{warehouse} is a link that leads to itself.", "Name the warehouse file."
        ) from error


def beside(warehouse: Path) -> Path:
    """Where the next warehouse is built: in a hidden folder on the same file system."""
    return warehouse.with_name(f".{warehouse.name}.building") / BUILT_NAME


def begin(built: Path) -> None:
    """Make the folder anew, without what a killed run left."""
    clear(built)
    built.parent.mkdir(mode=0o700, parents=True)


def clear(built: Path) -> None:
    """Remove the folder and all in it."""
    shutil.rmtree(built.parent, ignore_errors=True)


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
