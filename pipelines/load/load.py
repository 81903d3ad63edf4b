"""Load the files of a drop into ``raw.*`` and account for each of their lines."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime

import duckdb
import polars as pl

from pipelines.feeds import FEEDS
from pipelines.load.drop import DropFile
from pipelines.load.prove import Heading, Proof, prove
from pipelines.load.read_exact import Batch, read_exact
from pipelines.load.read_fast import INCOMING, positions, read_fast
from pipelines.sqltext import identifier, literal


@dataclass
class LoadSummary:
    """What became of the files of a drop."""

    read: list[str] = field(default_factory=list)
    skipped: list[str] = field(default_factory=list)
    set_aside: dict[str, str] = field(default_factory=dict)
    records: int = 0


@dataclass
class _Account:
    """Lines and records of one file."""

    blank_lines: int = 0
    record_lines: int = 0
    unreadable_lines: int = 0
    records: int = 0
    read_path: str = "fast"


def load_drop(
    con: duckdb.DuckDBPyConnection,
    files: Sequence[DropFile],
    loaded_at: datetime,
    tell: Callable[[str], None] = lambda _: None,
) -> LoadSummary:
    """Load every file whose bytes are new; the same bytes again are skipped.

    A file that cannot be proven is set aside whole: it stands in ``raw.files`` with the reason and
    none of its records is loaded.
    """
    summary = LoadSummary()
    known = {row[0] for row in con.execute("select sha256 from raw.files").fetchall()}
    arrival = len(known)
    for file in files:
        proof = prove(file.path, FEEDS[file.feed])
        if proof.sha256 in known:
            summary.skipped.append(file.name)
            continue
        known.add(proof.sha256)
        arrival += 1
        account = _Account()
        if proof.set_aside is None:
            account = _load_file(con, file, proof)
            summary.read.append(file.name)
            summary.records += account.records
        else:
            summary.set_aside[file.name] = proof.set_aside
            account.unreadable_lines = proof.total_lines
        _record_file(con, file, proof, account, loaded_at, arrival)
        tell(f"{file.name}: {account.records:,} records")
    return summary


def _load_file(con: duckdb.DuckDBPyConnection, file: DropFile, proof: Proof) -> _Account:
    rows_with_lines = read_fast(con, file.path, proof)
    if rows_with_lines is None:
        account = _load_exact(con, file, proof)
    else:
        account = _Account(read_path="fast")
        account.records = _insert(con, file.feed, proof, rows_with_lines)
        read = con.execute(f"select count(*) from {INCOMING}").fetchall()[0][0]
        account.blank_lines = read - account.records + proof.trailing_blank_lines
        account.record_lines = proof.total_lines - 1 - account.blank_lines
    con.execute(f"drop table if exists {INCOMING}")
    return account


def _load_exact(con: duckdb.DuckDBPyConnection, file: DropFile, proof: Proof) -> _Account:
    account = _Account(read_path="exact")
    for batch in read_exact(file.path, proof.delimiter, len(proof.headings)):
        account.records += len(batch.records)
        account.blank_lines += batch.blank_lines
        account.record_lines += batch.record_lines
        account.unreadable_lines += len(batch.unreadable)
        if batch.records:
            _stage(con, batch, proof)
            _insert(con, file.feed, proof, f"select * from {INCOMING}")
        _record_unreadable(con, file, proof, batch)
    return account


def _stage(con: duckdb.DuckDBPyConnection, batch: Batch, proof: Proof) -> None:
    columns = dict(zip(positions(proof), zip(*batch.records, strict=True), strict=True))
    frame = pl.DataFrame(columns, schema=dict.fromkeys(columns, pl.String))
    frame = frame.with_columns(pl.Series("line", batch.lines, dtype=pl.Int64))
    con.register("batch_frame", frame)
    blank_as_null = ", ".join(f"nullif({p}, '') as {p}" for p in positions(proof))
    con.execute(
        f"create or replace temp table {INCOMING} as select {blank_as_null}, line from batch_frame"
    )
    con.unregister("batch_frame")


def _is_blank(proof: Proof) -> str:
    return "coalesce(" + ", ".join(positions(proof)) + ") is null"


def _insert(
    con: duckdb.DuckDBPyConnection, feed: str, proof: Proof, rows_with_lines: str
) -> int:
    """Move incoming rows into raw by name and say how many; rows of separators alone are blank
    lines. Extra columns with data go into ``extra_fields``."""
    known = {h.column: h.position for h in proof.headings if h.column}
    extras = [h for h in proof.headings if h.column is None]
    extra = "null"
    if extras:
        pairs = ", ".join(f"{literal(_extra_name(h))}, f{h.position}"
                          for h in extras)  # fmt: skip
        some = "coalesce(" + ", ".join(f"f{h.position}" for h in extras) + ") is not null"
        extra = f"case when {some} then json_object({pairs}) end"
    names = ", ".join(identifier(name) for name in known)
    fields = ", ".join(f"f{position}" for position in known.values())
    inserted = con.execute(
        f"""
        insert into raw.{feed} ({names}, extra_fields, file_id, line)
        select {fields}, {extra}, {literal(proof.file_id)}, line
        from ({rows_with_lines})
        where not ({_is_blank(proof)})
        """
    ).fetchall()
    return int(inserted[0][0])


def _record_unreadable(
    con: duckdb.DuckDBPyConnection, file: DropFile, proof: Proof, batch: Batch
) -> None:
    rows = [[proof.file_id, file.feed, u.line, u.cause, u.text] for u in batch.unreadable]
    if rows:
        con.executemany("insert into raw.unreadable values (?, ?, ?, ?, ?)", rows)


def _record_file(
    con: duckdb.DuckDBPyConnection,
    file: DropFile,
    proof: Proof,
    account: _Account,
    loaded_at: datetime,
    arrival: int,
) -> None:
    has_header = proof.set_aside is None
    exported = file.exported_at.replace(tzinfo=None) if file.exported_at else None
    con.execute(
        "insert into raw.files values "
        "(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [
            proof.file_id, file.name, file.feed, proof.sha256, proof.size, exported,
            loaded_at.replace(tzinfo=None), arrival, proof.encoding, proof.delimiter,
            proof.is_plain, proof.total_lines, int(has_header), account.blank_lines,
            account.record_lines, account.unreadable_lines, account.records, account.read_path,
            proof.set_aside,
        ],
    )  # fmt: skip
    if has_header:
        data = _columns_with_data(con, file.feed, proof)
        con.executemany(
            "insert into raw.file_columns values (?, ?, ?, ?, ?)",
            [[proof.file_id, h.position, h.text, h.column, data.get(_extra_name(h), True)]
             for h in proof.headings],
        )  # fmt: skip


def _extra_name(heading: Heading) -> str:
    """What an undeclared column is called: its heading, or its place when it has none."""
    return heading.text or f"column {heading.position + 1}"


def _columns_with_data(con: duckdb.DuckDBPyConnection, feed: str, proof: Proof) -> dict[str, bool]:
    """Which extra columns hold anything: one without data needs no report."""
    extras = [_extra_name(h) for h in proof.headings if h.column is None]
    if not extras:
        return {}
    found = con.execute(
        f"select distinct unnest(json_keys(extra_fields)) as name, "
        f"unnest(json_extract_string(extra_fields, '$.*')) is not null as has_data "
        f"from raw.{feed} where file_id = ? and extra_fields is not null",
        [proof.file_id],
    ).fetchall()
    filled = {name for name, has_data in found if has_data}
    return {name: name in filled for name in extras}


