"""Load the files of a drop into ``raw.*`` and account for each of their lines."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import chain

import duckdb
import polars as pl

from pipelines.feeds import FEEDS
from pipelines.load.drop import DropFile
from pipelines.load.prove import Proof, proven
from pipelines.load.read_exact import Batch, Dialect, read_exact
from pipelines.load.read_fast import read_fast
from pipelines.load.rows import (
    extra_name,
    insertion,
    is_blank,
    is_repeated_header,
    note_repeated_headers,
    positions,
)

#: Records of one batch of the exact path.
_INCOMING = "incoming"


@dataclass
class LoadSummary:
    """What became of the files of a drop; ``undated``: those read whose name does not say when they
    were exported."""

    read: list[str] = field(default_factory=list)
    undated: list[str] = field(default_factory=list)
    skipped: list[str] = field(default_factory=list)
    set_aside: dict[str, str] = field(default_factory=dict)
    records: int = 0


@dataclass
class _Account:
    """Lines and records of one file."""

    header_lines: int = 0
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
    """Load every file whose bytes are new. The same bytes again are skipped; exported later, they
    are the later export.

    A file that cannot be proven is set aside whole: it stands in ``raw.files`` with the reason and
    none of its records is loaded.
    """
    summary = LoadSummary()
    for file in files:
        with proven(file) as proof:
            _load_proven(con, file, proof, loaded_at, summary)
        tell(f"{file.name}: {summary.records:,} records so far")
    return summary


def _load_proven(
    con: duckdb.DuckDBPyConnection,
    file: DropFile,
    proof: Proof,
    loaded_at: datetime,
    summary: LoadSummary,
) -> None:
    known = con.execute(
        "select set_aside is null and layout = ? and feed = ? and source = ? and file_id = ?, "
        "file_id, file_name, loaded_at, arrival from raw.files where sha256 = ? "
        "and (file_id = ? or ? <> (file_id <> sha256[:16]) "
        "or (set_aside is not null and file_name = ?)) order by arrival",
        [proof.layout, file.feed, file.match.source, proof.file_id, proof.sha256, proof.file_id,
         bool(proof.speaks_for), file.name],
    ).fetchall()  # fmt: skip
    if any(is_read for is_read, *_ in known):
        _exported_again(con, file, proof)
        summary.skipped.append(file.name)
        return
    if proof.set_aside is not None:
        # What is read of the same bytes under another name stays read.
        known = [row for row in known if row[2] == file.name]
    for _, file_id, *_ in known:
        # Set aside, or read as another source's or under other settings: those of now count.
        _forget(con, file_id)
    account = _Account()
    if proof.set_aside is None:
        account = _load_file(con, file, proof)
        summary.read.append(file.name)
        summary.undated += [file.name] if file.match.exported_at is None else []
        summary.records += account.records
    else:
        summary.set_aside[file.name] = proof.set_aside
        account.unreadable_lines = proof.total_lines
    _record_file(con, file, proof, account, loaded_at)
    if known:
        # Read anew, it is no younger than it was: an older version would win by it.
        con.execute(
            "update raw.files set loaded_at = ?, arrival = ? where file_id = ?",
            [*known[0][3:], proof.file_id],
        )


def _exported_again(con: duckdb.DuckDBPyConnection, file: DropFile, proof: Proof) -> None:
    """The same bytes exported later: what they say is true again from then on.

    Under the same name, the settings may now read another instant from it.
    """
    con.execute(
        "update raw.files set exported_at = $1, exported_at_latest = $4, file_name = $2 "
        "where file_id = $3 and (file_name = $2 or coalesce(exported_at, loaded_at) < $1)",
        [_naive(file.match.exported_at), file.name, proof.file_id,
         _naive(file.match.exported_at_latest)],
    )  # fmt: skip


def _naive(at: datetime | None) -> datetime | None:
    return at and at.replace(tzinfo=None)


def _forget(con: duckdb.DuckDBPyConnection, file_id: str) -> None:
    tables = ("files", "file_columns", "unreadable", "file_notes", *FEEDS)
    for table in tables:
        con.execute(f"delete from raw.{table} where file_id = ?", [file_id])


def _load_file(con: duckdb.DuckDBPyConnection, file: DropFile, proof: Proof) -> _Account:
    read = None if proof.is_workbook else read_fast(con, file.feed, proof)
    if read is None:
        return _load_batches(con, file, proof)
    account = _Account(proof.header_lines + read.repeated_headers, records=read.records)
    account.blank_lines = read.blank_lines + proof.trailing_blank_lines
    account.record_lines = proof.total_lines - account.header_lines - account.blank_lines
    return account


def _load_batches(con: duckdb.DuckDBPyConnection, file: DropFile, proof: Proof) -> _Account:
    account = _Account(read_path="exact", header_lines=proof.header_lines)
    for batch in _batches(file, proof):
        account.blank_lines += batch.blank_lines
        account.record_lines += batch.record_lines
        account.unreadable_lines += len(batch.unreadable)
        if batch.records:
            _stage(con, batch, proof)
            records, repeated = _insert(con, file.feed, proof)
            account.records += records
            account.header_lines += repeated
            account.record_lines -= repeated
        _record_unreadable(con, file, proof, batch)
    con.execute(f"drop table if exists {_INCOMING}")
    return account


def _batches(file: DropFile, proof: Proof) -> Iterator[Batch]:
    if proof.is_workbook:
        from pipelines.load.workbook import read_workbook  # noqa: PLC0415  (openpyxl)

        return read_workbook(proof, file.layout)
    dialect = Dialect(
        proof.delimiter, len(proof.headings), proof.header_lines, proof.encoding
    )
    return read_exact(proof.text, dialect)


def _stage(con: duckdb.DuckDBPyConnection, batch: Batch, proof: Proof) -> None:
    columns = dict(zip(positions(proof), zip(*batch.records, strict=True), strict=True))
    frame = pl.DataFrame(columns, schema=dict.fromkeys(columns, pl.String))
    frame = frame.with_columns(pl.Series("line", batch.lines, dtype=pl.Int64))
    con.register("batch_frame", frame)
    blank_as_null = ", ".join(f"nullif({p}, '') as {p}" for p in positions(proof))
    con.execute(
        f"create or replace temp table {_INCOMING} as select {blank_as_null}, line from batch_frame"
    )
    con.unregister("batch_frame")


def _insert(con: duckdb.DuckDBPyConnection, feed: str, proof: Proof) -> tuple[int, int]:
    """Move the records of a batch into raw; say how many, and how many were the header again."""
    is_header = is_repeated_header(proof)
    repeated = con.execute(f"select count(*) from {_INCOMING} where {is_header}").fetchall()[0][0]
    if repeated:
        con.execute(note_repeated_headers(feed, proof, f"{_INCOMING} where {is_header}"))
    records = f"{_INCOMING} where not ({is_blank(proof)})"
    if repeated:
        records += f" and not {is_header}"
    inserted = con.execute(insertion(feed, proof, "line", records)).fetchall()
    return int(inserted[0][0]), int(repeated)


def _record_unreadable(
    con: duckdb.DuckDBPyConnection, file: DropFile, proof: Proof, batch: Batch
) -> None:
    if not batch.unreadable:
        return
    frame = pl.DataFrame(
        [(proof.file_id, file.feed, u.line, u.cause, u.text) for u in batch.unreadable],
        schema={"file_id": pl.String, "feed": pl.String, "line": pl.Int64, "cause": pl.String,
                "text": pl.String},
        orient="row",
    )  # fmt: skip
    con.register("unreadable_frame", frame)
    con.execute("insert into raw.unreadable select * from unreadable_frame")
    con.unregister("unreadable_frame")


def _record_file(
    con: duckdb.DuckDBPyConnection,
    file: DropFile,
    proof: Proof,
    account: _Account,
    loaded_at: datetime,
) -> None:
    values = {
        "file_id": proof.file_id, "file_name": file.name, "feed": file.feed,
        "source": file.match.source, "sha256": proof.sha256, "bytes": proof.size,
        "exported_at": _naive(file.match.exported_at),
        "exported_at_latest": _naive(file.match.exported_at_latest),
        "loaded_at": loaded_at.replace(tzinfo=None), "encoding": proof.encoding,
        "delimiter": proof.delimiter, "layout": proof.layout, "is_plain": proof.is_plain,
        "total_lines": proof.total_lines, "header_lines": account.header_lines,
        "blank_lines": account.blank_lines, "record_lines": account.record_lines,
        "unreadable_lines": account.unreadable_lines, "records_read": account.records,
        "read_path": account.read_path, "set_aside": proof.set_aside,
    }  # fmt: skip
    con.execute(
        f"insert into raw.files ({', '.join(values)}, arrival) "
        f"select {', '.join('?' * len(values))}, coalesce(max(arrival), 0) + 1 from raw.files",
        list(values.values()),
    )
    if proof.set_aside is None:
        data = _columns_with_data(con, file.feed, proof)
        columns = [
            (proof.file_id, h.position, h.text, h.column, data.get(extra_name(h), True))
            for h in proof.headings
        ]
        con.execute(
            f"insert into raw.file_columns values {', '.join(['(?, ?, ?, ?, ?)'] * len(columns))}",
            list(chain.from_iterable(columns)),
        )


def _columns_with_data(con: duckdb.DuckDBPyConnection, feed: str, proof: Proof) -> dict[str, bool]:
    """Which extra columns hold anything: one without data needs no report."""
    extras = [extra_name(h) for h in proof.headings if h.column is None]
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


