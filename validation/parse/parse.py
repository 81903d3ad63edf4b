"""``raw.<feed>`` into ``accepted.<feed>``, and a reject for every value that cannot be read.

The typed value of unreadable text is NULL, so counting proves a column clean: as many typed values
as texts. Only a column that does not add up is read a second time, to name its faults.
"""

import duckdb

from pipelines.feeds import Column, Feed
from pipelines.sqltext import identifier, literal
from validation.parse.forms import Hygiene, cleaned, diagnosis, evidence, typed


def parse_feed(con: duckdb.DuckDBPyConnection, feed: Feed) -> None:
    """Fill ``accepted.<feed>`` with the current records of ``raw.<feed>``, typed.

    A record with an unreadable value is there too, with NULL in that column, and has a row in
    ``quality.rejects``: the contracts look at it next, and the move to ``held`` comes last.
    """
    hygiene = _hygiene(con, feed)
    values = ", ".join(
        f"{sql} as {identifier(target.name)}"
        for column in feed.columns
        for sql, target in zip(typed(column, hygiene), column.typed_columns, strict=True)
    )
    con.execute(
        f"""
        create or replace table accepted.{feed.name} ({feed.ddl});
        insert into accepted.{feed.name}
        select {values}, r.file_id, r.line
        from {_current(con, feed, hygiene)}
        """
    )
    _name_faults(con, feed, hygiene)


def record_key(feed: Feed, hygiene: Hygiene) -> str:
    """SQL of a raw record's key: its parts with '|' between."""
    parts = (f"coalesce({cleaned(name, hygiene)}, '')" for name in feed.key)
    return " || '|' || ".join(parts)


def _hygiene(con: duckdb.DuckDBPyConnection, feed: Feed) -> Hygiene:
    is_plain, has_breaks = con.execute(
        """
        select coalesce(bool_and(is_plain), true),
            coalesce(bool_or(record_lines <> records_read), false)
        from raw.files where feed = ? and set_aside is null
        """,
        [feed.name],
    ).fetchall()[0]
    return Hygiene(bool(is_plain), bool(has_breaks))


def _current(con: duckdb.DuckDBPyConnection, feed: Feed, hygiene: Hygiene) -> str:
    """FROM clause: current records of the feed as ``r``, and ``zone``, the zone of their clocks."""
    joins, zones = [], []
    for place in feed.zone_from:
        alias = f"z_{place}"
        target = cleaned(place, hygiene)
        if place == "case_number":
            joins.append(
                f"left join (select c.case_number, min(l.time_zone) as time_zone "
                f"from accepted.cases c join accepted.locations l using (location_id) "
                f"group by c.case_number) {alias} on {alias}.case_number = {target}"
            )
        else:
            joins.append(
                "left join (select location_id, min(time_zone) as time_zone "
                f"from accepted.locations group by location_id) {alias} "
                f"on {alias}.location_id = {target}"
            )
        zones.append(f"{alias}.time_zone")
    zone = f"coalesce({', '.join(zones)})" if zones else "cast(null as varchar)"
    outdated = con.execute(
        "select count(*) from quality.outdated where feed = ?", [feed.name]
    ).fetchall()[0][0]
    where = (
        f"where not exists (select 1 from quality.outdated o where o.feed = {literal(feed.name)} "
        "and o.file_id = r.file_id and o.line = r.line)"
        if outdated
        else ""
    )
    if not joins:
        return f"(select r.*, {zone} as zone from raw.{feed.name} r {where}) r"
    return f"(select r.*, {zone} as zone from raw.{feed.name} r {' '.join(joins)} {where}) r"


def _name_faults(con: duckdb.DuckDBPyConnection, feed: Feed, hygiene: Hygiene) -> None:
    source = _current(con, feed, hygiene)
    texts = ", ".join(f"count({identifier(c.name)})" for c in feed.columns)
    values = ", ".join(f"count({identifier(evidence(c))})" for c in feed.columns)
    written = con.execute(f"select {texts} from {source}").fetchall()[0]
    read = con.execute(f"select {values} from accepted.{feed.name}").fetchall()[0]
    for column, n_written, n_read in zip(feed.columns, written, read, strict=True):
        if n_written != n_read:
            _reject_column(con, feed, column, hygiene, source)
    if feed.name == "locations":
        _reject_unknown_zones(con, feed, hygiene, source)


def _reject_column(
    con: duckdb.DuckDBPyConnection, feed: Feed, column: Column, hygiene: Hygiene, source: str
) -> None:
    text = cleaned(column.name, hygiene)
    position = [t.name for t in column.typed_columns].index(evidence(column))
    value = typed(column, hygiene)[position]
    rule, detail = diagnosis(column, hygiene)
    _insert_rejects(con, feed, column.name, hygiene, source,
                    rule, detail, f"{text} is not null and {value} is null")  # fmt: skip


def _insert_rejects(
    con: duckdb.DuckDBPyConnection,
    feed: Feed,
    column: str,
    hygiene: Hygiene,
    source: str,
    rule: str,
    detail: str,
    where: str,
) -> None:
    case_number = cleaned("case_number", hygiene) if feed.has_case else "null"
    con.execute(
        f"""
        insert into quality.rejects
        select {literal(feed.name)}, {rule}, r.file_id, r.line, {record_key(feed, hygiene)},
            {case_number}, {literal(column)}, left({cleaned(column, hygiene)}, 500), {detail}
        from {source}
        where {where}
        """
    )


def _reject_unknown_zones(
    con: duckdb.DuckDBPyConnection, feed: Feed, hygiene: Hygiene, source: str
) -> None:
    """A zone that the zone database does not know would stop every time of the place."""
    zone = cleaned("time_zone", hygiene)
    unknown = f"{zone} not in (select name from pg_timezone_names())"
    _insert_rejects(con, feed, "time_zone", hygiene, source, "'not_in_list'",
                    "'Expected a zone of the IANA zone database, such as America/Chicago.'",
                    unknown)  # fmt: skip
    con.execute(
        "update accepted.locations set time_zone = null "
        "where time_zone not in (select name from pg_timezone_names())"
    )
