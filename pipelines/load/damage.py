"""Text that shows that a record was lost, or lost its name, on the way into the file."""

import re

import duckdb

from pipelines.feeds import Column, Feed, Form
from pipelines.sqltext import identifier, literal

#: Error words of cells (ISO/IEC 29500-1).
ERROR_WORDS = ("#N/A", "#REF!", "#VALUE!", "#NAME?", "#DIV/0!", "#NUM!", "#NULL!")
_MONTH = "(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)"
#: What spreadsheets make of identifiers: 1.00E+05, 2-Jan, 2-Jan-26, Jan-26, ="007". Shelves and
#: lots are written 2E-04 and 12-DEC, which no spreadsheet writes.
DAMAGED = (
    rf"\d+(\.\d+)?[Ee]\+\d{{2,3}}|\d\.\d+[Ee]-\d{{2,3}}"
    rf"|\d{{1,2}}-{_MONTH}(-\d{{2,4}})?|{_MONTH}-\d{{2}}"
    r"|=.*|#+"
)
#: Forms of text that names something.
NAMING = frozenset({Form.IDENTIFIER, Form.CODE, Form.PARTY, Form.PLACE})
#: Prose may have as many separators in a line as a record of so few columns, a space after each.
_FEW_COLUMNS = 8


def widths_of(con: duckdb.DuckDBPyConnection, feed: Feed) -> tuple[tuple[str, int], ...]:
    """Each separator of the feed's files that have line breaks inside records, with the fewest
    columns that such a file has."""
    return tuple(
        (str(mark), int(columns))
        for mark, columns in con.execute(
            """
            select f.delimiter, min(c.columns)
            from raw.files f
            join (select file_id, count(*) as columns from raw.file_columns group by file_id) c
                using (file_id)
            where f.feed = ? and f.record_lines <> f.records_read and f.delimiter <> ''
            group by f.delimiter order by f.delimiter
            """,
            [feed.name],
        ).fetchall()
    )


def holds_record(t: str, widths: tuple[tuple[str, int], ...]) -> str:
    """SQL: a line inside the text has as many separators as a record of the file."""
    found = []
    for mark, columns in widths:
        text = t if columns > _FEW_COLUMNS else f"replace({t}, {literal(mark + ' ')}, ' ')"
        pattern = rf"\n([^\n]*{re.escape(mark)}){{{columns - 1},}}"
        found.append(f"regexp_matches({text}, {literal(pattern)})")
    return f"(contains({t}, chr(10)) and ({' or '.join(found)}))" if found else "false"


def swallows(feed: Feed, widths: tuple[tuple[str, int], ...]) -> str:
    """SQL over a raw record ``r``: some field of it holds another record."""
    return " or ".join(holds_record(f"r.{identifier(name)}", widths) for name in feed.column_names)


def is_no_key(column: Column, text: str) -> str:
    """SQL: the text of a key's column is blank, or damaged, so that it names no record."""
    words = ", ".join(map(literal, ERROR_WORDS))
    pattern = {Form.COUNT: r"-?\d{1,15}", Form.DATE: r"\d.*"}.get(column.form)
    damaged = (
        f"not regexp_full_match({text}, {literal(pattern)})" if pattern
        else f"regexp_full_match({text}, {literal(DAMAGED)}) or length({text}) > 64"
        if column.form in NAMING else "false"
    )  # fmt: skip
    return f"coalesce({text} in ({words}) or {damaged}, true)"
