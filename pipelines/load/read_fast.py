"""The fast path: DuckDB reads the file as text, and counting proves that it read it right.

Rows are inserted in file order, so the physical line is the row's place among those of its file,
plus the header, plus the line breaks inside earlier fields. It holds only when records, breaks and
the header add up to the file's lines; otherwise the exact path reads the file.
"""

from dataclasses import dataclass

import duckdb

from pipelines.load.prove import Proof
from pipelines.load.rows import (
    insertion,
    is_blank,
    is_repeated_header,
    note_repeated_headers,
    positions,
)
from pipelines.sqltext import identifier, literal

_MAX_LINE_BYTES = 4_000_000
#: What ``line`` says of a row that is no record until the lines are known; that of a record says
#: how many line breaks are inside its fields.
_BLANK, _HEADER = -1, -2


@dataclass(frozen=True)
class FastRead:
    """What the rows of a file were."""

    records: int
    blank_lines: int
    repeated_headers: int


def read_fast(con: duckdb.DuckDBPyConnection, feed: str, proof: Proof) -> FastRead | None:
    """Read the file into ``raw.<feed>``, each record with its physical ``line``.

    None, and no row of it there, when the counts do not prove that every line was read right.
    """
    if not proof.is_utf8 or proof.has_nul or proof.has_bare_cr or not proof.is_one_line_header:
        return None
    kind = (
        f"case when {is_blank(proof)} then {_BLANK} when {is_repeated_header(proof)} "
        f"then {_HEADER} else {_breaks(proof)} end"
    )
    try:
        con.execute(insertion(feed, proof, kind, _csv(proof)))
    except duckdb.Error:
        return None
    of_file = f"from raw.{feed} where file_id = {literal(proof.file_id)}"
    rows, span, breaks, blank, headers = con.execute(
        f"""
        select count(*), coalesce(max(rowid) - min(rowid) + 1, 0),
            coalesce(cast(sum(line) filter (line > 0) as bigint), 0),
            count(*) filter (line = {_BLANK}), count(*) filter (line = {_HEADER})
        {of_file}
        """
    ).fetchall()[0]
    lines = proof.total_lines - proof.trailing_blank_lines
    if rows + breaks + proof.header_lines != lines or span != rows:
        con.execute(f"delete {of_file}")
        return None
    numbered = f"(select *, {_line(proof, breaks > 0)} as true_line, rowid as at_row {of_file})"
    if headers:
        again = f"(select true_line as line from {numbered} where line = {_HEADER})"
        con.execute(note_repeated_headers(feed, proof, again))
    if breaks:
        con.execute(
            f"update raw.{feed} r set line = n.true_line from {numbered} n "
            f"where n.at_row = r.rowid and r.line >= 0"
        )
    else:
        first = f"(select min(rowid) {of_file})"
        con.execute(
            f"update raw.{feed} set line = rowid - {first} + {proof.header_lines + 1} "
            f"where file_id = {literal(proof.file_id)} and line >= 0"
        )
    if blank or headers:
        con.execute(f"delete {of_file} and line < 0")
    return FastRead(rows - blank - headers, blank, headers)


def _csv(proof: Proof) -> str:
    columns = ", ".join(f"{identifier(p)}: 'VARCHAR'" for p in positions(proof))
    return f"""read_csv(
        {literal(str(proof.text))}, columns = {{{columns}}}, header = true,
        skip = {proof.header_lines - 1}, auto_detect = false,
        delim = {literal(proof.delimiter)}, quote = '"', escape = '"', strict_mode = true,
        null_padding = false, ignore_errors = false, comment = '',
        max_line_size = {_MAX_LINE_BYTES}
    )"""


def _breaks(proof: Proof) -> str:
    """SQL of the number of line breaks inside the fields of a row: only a quoted field has any."""
    if not proof.has_quotes:
        return "0"
    some = " or ".join(f"contains({p}, chr(10))" for p in positions(proof))
    count = " + ".join(
        f"coalesce(length({p}) - length(replace({p}, chr(10), '')), 0)" for p in positions(proof)
    )
    return f"case when {some} then {count} else 0 end"


def _line(proof: Proof, has_breaks: bool) -> str:
    """SQL of the physical line of a row among all those of its file."""
    line = f"rowid - min(rowid) over () + {proof.header_lines + 1}"
    if not has_breaks:
        return line
    return (
        f"{line} + coalesce(sum(greatest(line, 0)) over ("
        "order by rowid rows between unbounded preceding and 1 preceding), 0)"
    )
