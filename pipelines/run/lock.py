"""One run at a time for a warehouse; the lock names its holder and dies with it."""

import fcntl
import json
import os
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from pipelines.errors import WarehouseError


@contextmanager
def run_lock(warehouse: Path) -> Iterator[None]:
    """Hold the warehouse's lock file while a run works.

    Raises:
        WarehouseError: another run holds it (named), or the folder cannot be written.
    """
    path = warehouse.with_name(f".{warehouse.name}.lock")
    try:
        warehouse.parent.mkdir(parents=True, exist_ok=True)
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        raise WarehouseError(
            f"The folder {warehouse.parent} cannot be written ({error.strerror}).",
            "Choose another --warehouse (the demo: --output), or ask for the right to write there.",
        ) from error
    try:
        _take(handle, path)
        yield
    finally:
        os.close(handle)


def _take(handle: int, path: Path) -> None:
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError as error:
        raise WarehouseError(
            f"Another run is at work on this warehouse: {_holder(path)}.",
            "Wait until it ends, or stop it; the lock goes with it.",
        ) from error
    holder = {
        "process": os.getpid(),
        "machine": socket.gethostname(),
        "since": datetime.now(UTC).isoformat(timespec="seconds"),
    }
    os.ftruncate(handle, 0)
    os.pwrite(handle, json.dumps(holder).encode(), 0)


def _holder(path: Path) -> str:
    try:
        held = json.loads(path.read_text())
        return f"process {held['process']} on {held['machine']} since {held['since']}"
    except (OSError, ValueError, KeyError):
        return f"unknown holder of {path}"
