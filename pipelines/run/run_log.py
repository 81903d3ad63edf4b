"""The log of runs, chained by hash: an entry altered afterwards shows."""

import hashlib
import json
from datetime import datetime
from importlib.metadata import version
from typing import Any

import duckdb

from pipelines.errors import WarehouseError

_FIELDS = (
    "run_number", "as_of", "drop_name", "files_read", "files_skipped", "files_set_aside",
    "records_read", "records_accepted", "records_held", "findings", "version", "previous_hash",
)  # fmt: skip
_COLUMNS = ", ".join((*_FIELDS, "entry_hash"))


def newest_as_of(con: duckdb.DuckDBPyConnection) -> datetime:
    """The as-of instant (naive UTC) of the newest run, which need not be the latest instant.

    Raises:
        WarehouseError: no run is in the warehouse.
    """
    newest = con.execute("select max_by(as_of, run_number) from quality.run_log").fetchall()[0][0]
    if not isinstance(newest, datetime):
        raise WarehouseError("No run is in this warehouse.", "Run a drop first.")
    return newest


def append_entry(con: duckdb.DuckDBPyConnection, as_of: datetime, drop_name: str, files_read: int,
                 files_skipped: int, files_set_aside: int) -> dict[str, Any]:  # fmt: skip
    """Append this run's entry, its counts taken from the warehouse, and return it."""
    entries = _entries(con)
    records = con.execute(
        "select coalesce(sum(records_read), 0), coalesce(sum(accepted), 0), "
        "coalesce(sum(held_back), 0) from quality.file_accounts"
    ).fetchall()[0]
    findings = con.execute("select count(*) from marts.findings").fetchall()[0][0]
    values = (
        len(entries) + 1, as_of.replace(tzinfo=None, microsecond=0), drop_name, files_read,
        files_skipped, files_set_aside, *(int(n) for n in records), findings,
        version("ledgerstone"), entries[-1]["entry_hash"] if entries else "",
    )  # fmt: skip
    entry = dict(zip(_FIELDS, values, strict=True))
    entry["entry_hash"] = _hash(entry)
    marks = ", ".join("?" * len(entry))
    con.execute(f"insert into quality.run_log ({_COLUMNS}) values ({marks})", list(entry.values()))
    return entry


def verify(con: duckdb.DuckDBPyConnection) -> list[str]:
    """What is wrong with the chain, in words; nothing when it is whole."""
    faults, previous = [], ""
    for place, entry in enumerate(_entries(con), start=1):
        number = entry["run_number"]
        if number != place:
            faults.append(f"Run {place} is missing: the entry after it is run {number}.")
        if entry["previous_hash"] != previous:
            faults.append(f"Run {number} does not follow the entry before it.")
        if entry["entry_hash"] != _hash(entry):
            faults.append(f"The entry of run {number} was altered after it was written.")
        previous = entry["entry_hash"]
    return faults


def _entries(con: duckdb.DuckDBPyConnection) -> list[dict[str, Any]]:
    rows = con.execute(f"select {_COLUMNS} from quality.run_log order by run_number").fetchall()
    return [dict(zip((*_FIELDS, "entry_hash"), row, strict=True)) for row in rows]


def _hash(entry: dict[str, Any]) -> str:
    text = json.dumps({name: str(entry[name]) for name in _FIELDS}, sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()
