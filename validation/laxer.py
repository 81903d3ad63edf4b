"""Rows of the group's own that allow more than the law's shipped row does: used, and said aloud."""

from pathlib import Path

import duckdb

from pipelines.sqltext import identifier, literal

_REFERENCE = Path(__file__).parent / "reference"
#: Table of limits -> its figure, its unit in words, and the kinds of which less is laxer.
_LIMITS = {
    "jurisdiction_limits": ("hours", "hours", ("cremation_wait", "unclaimed_remains")),
    "exposure_limits": ("limit_ppm", "ppm", ()),
}


def note_laxer(con: duckdb.DuckDBPyConnection) -> None:
    """Note each accepted row of a table of limits whose figure is laxer than that of the shipped
    row of its key: a house rule may be stricter than the law, never the other way about."""
    for name, (figure, unit, less_is_laxer) in _LIMITS.items():
        key = ("jurisdiction", "limit_kind") if name == "jurisdiction_limits" else ("limit_kind",)
        is_laxer = f"o.{figure} > s.{figure}::double"
        if less_is_laxer:
            kinds = ", ".join(map(literal, less_is_laxer))
            is_laxer = (
                f"case when o.limit_kind in ({kinds}) then o.{figure} < s.{figure}::double "
                f"else {is_laxer} end"
            )
        con.execute(
            f"""
            insert into quality.notes
            select {literal(name)}, 'limit_laxer', o.file_id, o.line,
                concat_ws('|', {", ".join(f"o.{identifier(column)}" for column in key)}), null,
                {literal(figure)}, o.{figure}::varchar,
                'The law''s row says ' || s.{figure} || {literal(f" {unit} (")} || s.citation
                || ', ' || s.status || '), this row another; it is the one that counts.'
            from accepted.{name} o
            join read_csv({literal(str(_REFERENCE / f"{name}.csv"))}, all_varchar = true,
                header = true, delim = ',', quote = '"', escape = '"') s
                using ({", ".join(key)})
            where {is_laxer}
            """
        )
