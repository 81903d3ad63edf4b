"""Load the files of a drop into ``raw.*`` and account for each of their lines."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime

import duckdb
import polars as pl

from pipelines.feeds import FEEDS
from pipelines.load.drop import DropFile
from pipelines.load.headings import Heading
from pipelines.load.prove import Proof, proven
from pipelines.load.read_exact import Batch, Dialect, read_exact
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
    rows_with_lines = None if proof.is_workbook else read_fast(con, proof)
    if rows_with_lines is None:
        account = _load_batches(con, file, proof)
    else:
        account = _Account(header_lines=proof.header_lines)
        account.records, repeated = _insert(con, file.feed, proof, rows_with_lines)
        read = con.execute(f"select count(*) from {INCOMING}").fetchall()[0][0]
        account.header_lines += repeated
        account.blank_lines = read - account.records - repeated + proof.trailing_blank_lines
        account.record_lines = proof.total_lines - account.header_lines - account.blank_lines
    con.execute(f"drop table if exists {INCOMING}")
    return account


def _load_batches(con: duckdb.DuckDBPyConnection, file: DropFile, proof: Proof) -> _Account:
    account = _Account(read_path="exact", header_lines=proof.header_lines)
    for batch in _batches(file, proof):
        account.blank_lines += batch.blank_lines
        account.record_lines += batch.record_lines
        account.unreadable_lines += len(batch.unreadable)
        if batch.records:
            _stage(con, batch, proof)
            records, repeated = _insert(con, file.feed, proof, f"select * from {INCOMING}")
            account.records += records
            account.header_lines += repeated
            account.record_lines -= repeated
        _record_unreadable(con, file, proof, batch)
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
        f"create or replace temp table {INCOMING} as select {blank_as_null}, line from batch_frame"
    )
    con.unregister("batch_frame")


def _is_blank(proof: Proof) -> str:
    return "coalesce(" + ", ".join(positions(proof)) + ") is null"


def _is_repeated_header(proof: Proof) -> str:
    """SQL: the row says again what the header says, as files put together by hand do."""
    same = [
        f"trim(coalesce(f{h.position}, '')) = {literal(h.text)}" for h in proof.headings
    ]
    return "(" + " and ".join(same) + ")"


def _insert(
    con: duckdb.DuckDBPyConnection, feed: str, proof: Proof, rows_with_lines: str
) -> tuple[int, int]:
    """Move incoming rows into raw by name; say how many, and how many were the header again.

    Rows of separators alone are blank lines. Extra columns with data go into ``extra_fields``.
    """
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
    repeated = con.execute(
        f"select count(*) from {INCOMING} where {_is_repeated_header(proof)}"
    ).fetchall()[0][0]
    if repeated:
        con.execute(
            f"""
            insert into raw.file_notes
            select {literal(proof.file_id)}, {literal(feed)}, line, 'repeated_header',
                'The header stands here again; it is counted as a header line.'
            from ({rows_with_lines}) where {_is_repeated_header(proof)}
            """
        )
    but_headers = f" and not {_is_repeated_header(proof)}" if repeated else ""
    inserted = con.execute(
        f"""
        insert into raw.{feed} ({names}, extra_fields, file_id, line)
        select {fields}, {extra}, {literal(proof.file_id)}, line
        from ({rows_with_lines})
        where not ({_is_blank(proof)}){but_headers}
        """
    ).fetchall()
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


