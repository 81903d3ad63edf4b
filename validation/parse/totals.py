"""Lines of totals that an export put under its records."""

import duckdb

from pipelines.sqltext import literal
from validation.parse.forms import text_name
from validation.parse.source import Source

_WORDS = ("total", "totals", "grand total", "sub total", "subtotal", "sub-total", "sum")


def reject_totals(con: duckdb.DuckDBPyConnection, source: Source) -> None:
    """Reject the records that have no key, or a word for a total as one, and say such a word."""
    words = ", ".join(map(literal, _WORDS))

    def is_word(name: str) -> str:
        return f"coalesce(lower(rtrim({text_name(name)}, ': ')) in ({words}), false)"

    feed = source.feed
    has_no_key = " or ".join(
        [f"{text_name(name)} is null" for name in feed.key] + [is_word(n) for n in feed.key]
    )
    says_total = " or ".join(is_word(name) for name in feed.column_names)
    source.write(
        con,
        "rejects",
        f"({source.texts()}) where ({has_no_key}) and ({says_total})",
        "'totals_row'",
        literal("It has no key of its own and says that it is a total."),
    )


def forget_other_rejects(con: duckdb.DuckDBPyConnection, feed_name: str) -> None:
    """A line of totals is no record: what else is wrong with it helps nobody."""
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
