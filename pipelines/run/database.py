"""Opening warehouse files, always with the same settings."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb

from pipelines.errors import WarehouseError
from pipelines.load.store import KEPT_TABLES
from pipelines.memory import memory_limit
from pipelines.sqltext import literal


def settings() -> list[str]:
    """Settings of every connection: no network, one clock, and no tidying at checkpoints of a file
    that each run builds anew."""
    return [
        "set autoinstall_known_extensions = false",
        "set autoload_known_extensions = false",
        "set max_vacuum_tasks = 0",
        "set timezone = 'UTC'",
        f"set memory_limit = {literal(memory_limit())}",
        "set enable_progress_bar = false",
    ]


@contextmanager
def building(path: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """A connection to the warehouse that is being built."""
    con = duckdb.connect(str(path))
    try:
        for statement in settings():
            con.execute(statement)
        yield con
    finally:
        con.close()


@contextmanager
def reading(path: Path) -> Iterator[duckdb.DuckDBPyConnection]:
    """A read-only connection to a finished warehouse.

    Raises:
        WarehouseError: no such file, not a warehouse, or opened for writing elsewhere.
    """
    con = _open_read_only(path)
    try:
        for statement in settings():
            con.execute(statement)
        with of_this_version(path):
            yield con
    finally:
        con.close()


@contextmanager
def of_this_version(path: Path) -> Iterator[None]:
    """Tell a warehouse that lacks what this version reads.

    Raises:
        WarehouseError: a table or column is not there.
    """
    try:
        yield
    except (duckdb.CatalogException, duckdb.BinderException) as error:
        raise WarehouseError(
            f"{path} lacks something that this version reads, as one made by an earlier version "
            f"does: {str(error).splitlines()[0]}",
            "Make it again: ledgerstone run DROP --warehouse FILE, with the drop of its last run. "
            "Where it is still so afterwards, report it.",
        ) from error


def _open_read_only(path: Path) -> duckdb.DuckDBPyConnection:
    if not path.exists():
        raise WarehouseError(
            f"There is no warehouse {path}.", "Make one: ledgerstone run DROP --warehouse FILE."
        )
    try:
        con = duckdb.connect(str(path), read_only=True)
    except duckdb.Error as error:
        raise _not_opened(path, error) from error
    known = con.execute(
        "select count(*) from information_schema.tables "
        "where table_schema = 'raw' and table_name = 'files'"
    ).fetchall()[0][0]
    if not known:
        con.close()
        raise WarehouseError(f"{path} is no Ledgerstone warehouse.", "Name another file.")
    return con


def _not_opened(path: Path, error: duckdb.Error) -> WarehouseError:
    holder = re.search(r"PID (\d+)", str(error))
    if "lock" in str(error).lower():
        who = f" by process {holder.group(1)}" if holder else ""
        return WarehouseError(
            f"The warehouse {path} is opened for writing elsewhere{who}.",
            "Close that program and run again. Nothing was changed.",
        )
    return WarehouseError(
        f"{path} cannot be opened as a warehouse: {str(error).splitlines()[0]}",
        "Name another file (--warehouse; the demo: --output), or move this one away to begin anew.",
    )


def carry_over(con: duckdb.DuckDBPyConnection, previous: Path) -> None:
    """Copy what is kept from run to run (raw text, account of files, run log) in file order."""
    _open_read_only(previous).close()
    try:
        con.execute(f"attach {literal(str(previous))} as previous (read_only)")
    except duckdb.Error as error:
        raise _not_opened(previous, error) from error
    held = {
        f"{schema}.{name}"
        for schema, name in con.execute(
            "select table_schema, table_name from information_schema.tables "
            "where table_catalog = 'previous'"
        ).fetchall()
    }
    for table in KEPT_TABLES:
        if table in held:
            con.execute(f"insert into {table} by name select * from previous.{table}")
    con.execute("detach previous")
