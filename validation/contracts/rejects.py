"""Writes what broke a rule into ``quality.rejects``, with the value and what was found."""

import duckdb
import polars as pl

from pipelines.feeds import Feed
from pipelines.sqltext import identifier, literal
from validation.contracts.figures import typed_text
from validation.contracts.records import rules_for

_FRAME = "rejects_found"
#: Rejects that were there before the contracts: text that could not be read.
_EARLIER = "rejects_earlier"


def remember_earlier(con: duckdb.DuckDBPyConnection, feed: Feed) -> None:
    """Keep the feed's rejects so far in a temporary table, each with the row of ``accepted`` it is
    about."""
    con.execute(
        f"""
        create or replace temp table {_EARLIER} as
        select a.rowid as row_id, q.column_name, q.rule_code
        from (select * from quality.rejects where feed = {literal(feed.name)}) q
        join accepted.{feed.name} a on a.file_id = q.file_id and a.line = q.line
        """
    )


def earlier_rejects(con: duckdb.DuckDBPyConnection) -> pl.DataFrame:
    """What ``remember_earlier`` kept: row_id, column_name, rule_code."""
    kept: pl.DataFrame = con.sql(f"select * from {_EARLIER} order by all").pl()
    return kept


def forget_earlier(con: duckdb.DuckDBPyConnection) -> None:
    con.execute(f"drop table if exists {_EARLIER}")


def write_rejects(con: duckdb.DuckDBPyConnection, feed: Feed, found: pl.DataFrame) -> None:
    """Insert a reject for each row of ``found`` (row_id of ``accepted.<feed>``, rule_code,
    column_name, and optionally detail), in the order of lines. A cell whose text could not be read
    has its reject already and gets no second one."""
    if not found.height:
        return
    given = "f.detail" if "detail" in found.columns else "cast(null as varchar)"
    # Only columns and rules that were found: the join then reads no others of a wide table.
    columns = set(found["column_name"].drop_nulls().unique())
    codes = set(found["rule_code"].unique())
    con.register(_FRAME, found)
    con.execute(
        f"""
        insert into quality.rejects
        select {literal(feed.name)}, f.rule_code, r.file_id, r.line, {record_key(feed)},
            {"r.case_number" if feed.has_case else "null"}, f.column_name,
            left({_value(feed, columns)}, 500), coalesce({given}, {_detail(feed, codes)})
        from {_FRAME} f
        join accepted.{feed.name} r on r.rowid = f.row_id
        where not exists (
            select 1 from {_EARLIER} e
            where e.row_id = f.row_id and e.column_name = f.column_name
        )
        order by r.file_id, r.line, f.rule_code, f.column_name
        """
    )
    con.unregister(_FRAME)


def record_key(feed: Feed) -> str:
    """SQL of the key of the typed record ``r``: its parts with '|' between."""
    parts = (f"coalesce(cast(r.{identifier(name)} as varchar), '')" for name in feed.key)
    return " || '|' || ".join(parts)


def _value(feed: Feed, columns: set[str]) -> str:
    return _choice("f.column_name", {
        c.name: typed_text(c) for c in feed.columns if c.name in columns
    })  # fmt: skip


def _detail(feed: Feed, codes: set[str]) -> str:
    details = {rule.code: rule.detail for rule in rules_for(feed).rules if rule.code in codes}
    if "below_minimum" in codes:
        least = {c.name: f"Expected {c.minimum} or more." for c in feed.columns
                 if c.minimum is not None}  # fmt: skip
        details["below_minimum"] = _choice(
            "f.column_name", {name: literal(said) for name, said in least.items()}
        )
    if "too_large" in codes:
        most = {c.name: f"Expected less than {c.below:,}." for c in feed.columns
                if c.below is not None}  # fmt: skip
        details["too_large"] = _choice(
            "f.column_name", {name: literal(said) for name, said in most.items()}
        )
    return _choice("f.rule_code", details)


def _choice(chosen_by: str, choices: dict[str, str]) -> str:
    whens = " ".join(f"when {literal(name)} then {sql}" for name, sql in choices.items())
    return f"case {chosen_by} {whens} end" if whens else "cast(null as varchar)"
