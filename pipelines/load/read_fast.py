"""The fast path: DuckDB reads the file as text, and counting proves that it read it right.

``rowid`` of the table is file order, so the physical line is the rowid, plus the header, plus the
line breaks inside earlier fields. It holds only when records, breaks and the header add up to the
file's lines; otherwise the exact path reads the file.
"""

from pathlib import Path

import duckdb

from pipelines.load.prove import Proof
from pipelines.sqltext import identifier, literal

INCOMING = "incoming"
_MAX_LINE_BYTES = 4_000_000


def positions(proof: Proof) -> list[str]:
    """Names of the incoming table's columns: f0, f1, ... by position in the file."""
    return [f"f{heading.position}" for heading in proof.headings]


def read_fast(con: duckdb.DuckDBPyConnection, path: Path, proof: Proof) -> str | None:
    """Read the file into the temporary table ``incoming`` (f0..., all text, in file order).

    Returns the SQL of the physical line of a row, or None when the counts do not prove it.
    """
    if not proof.is_utf8 or proof.has_nul or proof.has_bare_cr:
        return None
    columns = ", ".join(f"{identifier(p)}: 'VARCHAR'" for p in positions(proof))
    try:
        con.execute(
            f"""
            create or replace temp table {INCOMING} as
            select * from read_csv(
                {literal(str(path))}, columns = {{{columns}}}, header = true, auto_detect = false,
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
    if rows + 1 == lines:
        return "rowid + 2"
    breaks = " + ".join(f"coalesce(length({p}) - length(replace({p}, chr(10), '')), 0)"
                        for p in positions(proof))  # fmt: skip
    broken = _number(con, f"select coalesce(sum({breaks}), 0) from {INCOMING}")
    if rows + 1 + broken != lines:
        return None
    return (
        f"rowid + 2 + coalesce(sum({breaks}) over "
        "(order by rowid rows between unbounded preceding and 1 preceding), 0)"
    )


def _number(con: duckdb.DuckDBPyConnection, query: str) -> int:
    return int(con.execute(query).fetchall()[0][0])
