"""The fast path: DuckDB reads the file as text, and counting proves that it read it right.

``rowid`` of the table is file order, so the physical line is the rowid, plus the header, plus the
line breaks inside earlier fields. It holds only when records, breaks and the header add up to the
file's lines; otherwise the exact path reads the file.
"""

import duckdb

from pipelines.load.prove import Proof
from pipelines.sqltext import identifier, literal

INCOMING = "incoming"
BREAKS = "incoming_breaks"
SHIFTED = "incoming_lines"
_MAX_LINE_BYTES = 4_000_000


def positions(proof: Proof) -> list[str]:
    """Names of the incoming table's columns: f0, f1, ... by position in the file."""
    return [f"f{heading.position}" for heading in proof.headings]


def read_fast(con: duckdb.DuckDBPyConnection, proof: Proof) -> str | None:
    """Read the file into the temporary table ``incoming`` (f0..., all text, in file order).

    Returns a query of its rows with their physical ``line``, or None when the counts do not prove
    that every line was read right.
    """
    if not proof.is_utf8 or proof.has_nul or proof.has_bare_cr or not proof.is_one_line_header:
        return None
    columns = ", ".join(f"{identifier(p)}: 'VARCHAR'" for p in positions(proof))
    header = f"header = true, skip = {proof.header_lines - 1}"
    try:
        con.execute(
            f"""
            create or replace temp table {INCOMING} as
            select * from read_csv(
                {literal(str(proof.text))}, columns = {{{columns}}}, {header}, auto_detect = false,
                delim = {literal(proof.delimiter)}, quote = '"', escape = '"', strict_mode = true,
                null_padding = false, ignore_errors = false, comment = '',
                max_line_size = {_MAX_LINE_BYTES}
            )
            """
        )
    except duckdb.Error:
        return None
    rows = _number(con, f"select count(*) from {INCOMING}")
    lines = proof.total_lines - proof.trailing_blank_lines
    if rows + proof.header_lines == lines:
        return f"select *, rowid + {proof.header_lines + 1} as line from {INCOMING}"
    return _lines_after_breaks(con, proof, rows, lines)


def _lines_after_breaks(
    con: duckdb.DuckDBPyConnection, proof: Proof, rows: int, lines: int
) -> str | None:
    """Count the line breaks inside fields; the line of a row is shifted by those before it."""
    found = con.execute(
        "select "
        + ", ".join(f"bool_or(contains({p}, chr(10)))" for p in positions(proof))
        + f" from {INCOMING}"
    ).fetchall()[0]
    broken = [p for p, has in zip(positions(proof), found, strict=True) if has]
    if not broken:
        return None
    breaks = " + ".join(
        f"coalesce(length({p}) - length(replace({p}, chr(10), '')), 0)" for p in broken
    )
    con.execute(
        f"""
        create or replace temp table {BREAKS} as
        select rowid as at_row, cast({breaks} as bigint) as breaks from {INCOMING}
        where {' or '.join(f"contains({p}, chr(10))" for p in broken)}
        """
    )
    if rows + proof.header_lines + _number(con, f"select sum(breaks) from {BREAKS}") != lines:
        return None
    con.execute(
        f"""
        create or replace temp table {SHIFTED} as
        select r.row as at_row, r.row + {proof.header_lines + 1} + coalesce(sum(b.breaks) over (
            order by r.row rows between unbounded preceding and 1 preceding), 0) as line
        from (select range as row from range({rows})) r
        left join {BREAKS} b on b.at_row = r.row
        """
    )
    return f"select i.*, s.line from {INCOMING} i join {SHIFTED} s on s.at_row = i.rowid"


def _number(con: duckdb.DuckDBPyConnection, query: str) -> int:
    return int(con.execute(query).fetchall()[0][0])
