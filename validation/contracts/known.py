"""The lists that other feeds refer to: what is known, trusted or held back.

A record that refers to a held one is not at fault itself, so ``held`` counts as known too; but a
code that means something else is known for no place, held or not.
"""

from collections.abc import Iterable
from itertools import chain

import duckdb

from pipelines.feeds import Column, Feed, Form
from pipelines.feeds.declare import PARTY_KINDS, PLACE_KINDS
from pipelines.sqltext import identifier, literal


def is_reserved(location: str) -> str:
    """SQL: the code is written as outside places (kind:code) or the whole group are."""
    return f"(contains({location}, ':') or starts_with({location}, '('))"


#: Feed referred to -> the rule that a value breaks when that feed does not have it.
REFERENCE_RULES = {
    "locations": "unknown_location",
    "cases": "unknown_case",
    "supply_items": "unknown_item",
}
_KNOWN = {
    "locations": "location_id, min(location_kind) as location_kind",
    "cases": "case_number, row_number() over () as case_key, "
    "min(band_number) as case_band, coalesce(bool_or(case_status = 'closed'), false) as is_closed",
    "supply_items": "item_code",
}
#: What a code must be to be known at all.
_KNOWABLE = {"locations": f"not {is_reserved('location_id')}"}
_KINDS = {Form.PARTY: PARTY_KINDS, Form.PLACE: PLACE_KINDS}


def reference_rule(column: Column) -> str | None:
    """The rule that an unknown value of the column breaks; None when it refers to nothing."""
    if column.form is Form.PARTY:
        return "unknown_party"
    if column.form is Form.PLACE:
        return "unknown_location"
    if column.refers_to is None:
        return None
    return REFERENCE_RULES[column.refers_to.partition(".")[0]]


def known_table(feed_name: str) -> str:
    return f"known_{feed_name}"


def make_known_tables(con: duckdb.DuckDBPyConnection, feeds: Iterable[Feed]) -> None:
    """Make a temporary table of each list that the feeds refer to."""
    for name in _referred(feeds):
        key = _KNOWN[name].partition(",")[0]
        con.execute(
            f"""
            create or replace temp table {known_table(name)} as
            select {_KNOWN[name]}
            from (select * from accepted.{name} union all select * from held.{name})
            where {key} is not null and {_KNOWABLE.get(name, "true")}
            group by {key}
            """
        )


def drop_known_tables(con: duckdb.DuckDBPyConnection, feeds: Iterable[Feed]) -> None:
    for name in _referred(feeds):
        con.execute(f"drop table if exists {known_table(name)}")


def is_known(column: Column) -> str:
    """SQL over the typed record ``r``: the value is in the list that the column refers to."""
    value = f"r.{identifier(column.name)}"
    if column.form in _KINDS:
        outside = f"({'|'.join(_KINDS[column.form])}):[^\\s:][^:]*"
        return (
            f"({value} is null or {value} in (select location_id from known_locations) "
            f"or regexp_full_match({value}, {literal(outside)}))"
        )
    assert column.refers_to is not None
    name, _, key = column.refers_to.partition(".")
    beside = "" if column.beside_list is None else f"or {value} = {literal(column.beside_list)} "
    return f"({value} is null {beside}or {value} in (select {key} from {known_table(name)}))"


def _referred(feeds: Iterable[Feed]) -> list[str]:
    columns = chain.from_iterable(feed.columns for feed in feeds)
    names = {c.refers_to.partition(".")[0] for c in columns if c.refers_to is not None}
    return [name for name in REFERENCE_RULES if name in names]
