"""What the settings of a source could say of a file, by the nearest headings; and how it reads."""

import duckdb

from pipelines.command.show import safe
from pipelines.feeds import Feed
from pipelines.load.headings import DELIMITERS, nearest
from pipelines.load.prove import Proof
from pipelines.sqltext import identifier

_ROWS = 3


def proposed_settings(proof: Proof, feed: Feed, file_name: str) -> str:
    """TOML that maps unknown headings to the columns that they are nearest to; empty if all are
    known. Headings that are near none stand as comments, with the columns that are still missing.

    A proposal to look at, never applied by itself.
    """
    unknown = [h.text for h in proof.headings if h.column is None and h.text]
    absent = [c.name for c in feed.columns if c.name not in {h.column for h in proof.headings}]
    pairs: dict[str, str] = {}
    for column in sorted(absent, key=lambda name: not feed.column(name).is_required):
        found = nearest(column, [text for text in unknown if text not in pairs])
        if found is not None:
            pairs[found] = column
    if not pairs and (not unknown or proof.set_aside is None):
        return ""
    table = f"sources.NAME.feeds.{feed.name}"
    lines = [f"[{table}]", f"files = [{_quoted(file_name)}]"]
    if proof.delimiter != "," and not proof.is_workbook:
        lines += [f'delimiter = "{DELIMITERS[proof.delimiter]}"']
    if proof.header_lines > 1 and proof.set_aside is not None:
        lines += [f"lines_above_header = {proof.header_lines - 1}"]
    lines += ["", f"[{table}.headings]"]
    lines += [f"{_quoted(heading)} = {_quoted(column)}" for heading, column in pairs.items()]
    lines += [f"# {_quoted(text)} = a column?" for text in unknown if text not in pairs]
    still = [name for name in absent if name not in pairs.values()]
    lines += [f"# Columns that no heading is near to: {', '.join(still)}"] if still else []
    return "\n".join(lines)


def first_rows(con: duckdb.DuckDBPyConnection, feed: Feed) -> list[str]:
    """The first records as they are read, a line for each: column = value."""
    names = [t.name for t in feed.typed_columns if t.name != "file_id"]
    columns = ", ".join(f"cast({identifier(name)} as varchar)" for name in names)
    rows = con.execute(
        f"select {columns} from accepted.{feed.name} order by line limit {_ROWS}"
    ).fetchall()
    return [
        "; ".join(f"{n} = {safe(v)}" for n, v in zip(names, row, strict=True) if v is not None)
        for row in rows
    ]


def _quoted(text: str) -> str:
    """A TOML basic string on one line."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\u{ord(c):04X}" for c in escaped) + '"'
