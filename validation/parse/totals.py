"""Lines of totals that an export put under its records."""

import duckdb

from pipelines.sqltext import identifier, literal
from validation.parse.forms import text_name
from validation.parse.source import Source

_WORDS = ("total", "totals", "grand total", "sub total", "subtotal", "sub-total", "sum")
#: At least what ``_is_word`` finds, and a third of the time.
_LIKE_A_WORD = rf"(?i)({'|'.join(_WORDS)})[: ]*"


def reject_totals(con: duckdb.DuckDBPyConnection, source: Source) -> None:
    """Reject the records that have no key, or a word for a total as one, and say such a word.

    A place SUM or an item TOTAL with all that a record must have is a record.
    """
    feed = source.feed
    keys = [t for t in feed.typed_columns if t.name in feed.key]
    keyless = " or ".join(f"{identifier(key.name)} is null" for key in keys)
    keyless += "".join(
        f" or regexp_full_match({identifier(key.name)}, {literal(_LIKE_A_WORD)})"
        for key in keys if key.sql_type == "VARCHAR"
    )  # fmt: skip
    if not con.execute(
        f"select 1 from accepted.{feed.name} where {source.of_files} and ({keyless}) limit 1"
    ).fetchall():
        return
    texts = [text_name(name) for name in feed.column_names]
    no_key = " or ".join(f"{text_name(name)} is null" for name in feed.key)
    word_key = " or ".join(_is_word(text_name(name)) for name in feed.key)
    lacks = " or ".join(
        f"{text_name(column.name)} is null" for column in feed.columns if column.is_required
    )
    source.write(
        con,
        "rejects",
        f"({source.texts()}) where ({no_key} or (({word_key}) and ({lacks}))) "
        f"and ({' or '.join(map(_is_word, texts))})",
        "'totals_row'",
        literal("It has no key of its own and says that it is a total."),
    )


def _is_word(text: str) -> str:
    return f"coalesce(lower(rtrim({text}, ': ')) in ({', '.join(map(literal, _WORDS))}), false)"


def forget_other_rejects(con: duckdb.DuckDBPyConnection, feed_name: str) -> None:
    """A line of totals is no record: what else is wrong with it helps nobody."""
    totals = "select 1 from quality.rejects where rule_code = 'totals_row' and feed = $1 limit 1"
    if not con.execute(totals, [feed_name]).fetchall():
        return
    con.execute(
        """
        delete from quality.rejects q
        where q.feed = $1 and q.rule_code <> 'totals_row' and exists (
            select 1 from quality.rejects t
            where t.rule_code = 'totals_row' and t.file_id = q.file_id and t.line = q.line
        )
        """,
        [feed_name],
    )
