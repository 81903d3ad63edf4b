"""``raw.<feed>`` into ``accepted.<feed>``, and a reject for every value that cannot be read.

The typed value of unreadable text is NULL, so counting proves a column clean: as many typed values
as texts. Only a column that does not add up is read a second time, to name its faults.
"""

import duckdb

from pipelines.feeds import Feed
from pipelines.load.ways import ways_of_writing
from pipelines.sources import Reading, Settings
from pipelines.sqltext import identifier, literal
from validation.parse.forms import (
    ColumnReading,
    Hygiene,
    cleaned,
    diagnosis,
    evidence,
    reading,
    text_name,
)
from validation.parse.units import unit_factors

NO_SETTINGS = Settings()


def parse_feed(
    con: duckdb.DuckDBPyConnection, feed: Feed, settings: Settings = NO_SETTINGS
) -> None:
    """Fill ``accepted.<feed>`` with the current records of ``raw.<feed>``, typed.

    Files that write alike are read together: one pass for each way of writing that ``settings``
    declare. A record with an unreadable value is there too, with NULL in that column, and has a row
    in ``quality.rejects``: the contracts look at it next, and the move to ``held`` comes last.

    Raises:
        SettingsError: a source declares a unit that has no factor.
    """
    con.execute(f"create or replace table accepted.{feed.name} ({feed.ddl})")
    for how, files in ways_of_writing(con, feed, settings):
        source = _Source(con, feed, how, files)
        factors = unit_factors(con, feed, how)
        readings = [reading(column, source.hygiene, how, factors) for column in feed.columns]
        values = ", ".join(
            f"{sql} as {identifier(target.name)}"
            for read, column in zip(readings, feed.columns, strict=True)
            for sql, target in zip(read.last, column.typed_columns, strict=True)
        )
        con.execute(
            f"""
            insert into accepted.{feed.name}
            select {values}, file_id, line
            from ({source.first_layer(readings)})
            """
        )
        _name_faults(con, feed, source, readings)


class _Source:
    """The current records of a raw feed, and the layers of SQL that read them."""

    def __init__(
        self, con: duckdb.DuckDBPyConnection, feed: Feed, how: Reading, files: list[str] | None
    ) -> None:
        self.feed = feed
        self.how = how
        self.hygiene = _hygiene(con, feed)
        self.of_files = f"file_id in ({', '.join(map(literal, files))})" if files else "true"
        self.where = f"where r.{self.of_files}" if files else "where true"
        self.where += _and_current(con, feed)

    def texts(self) -> str:
        """Query of the cleaned text of every column, ``zone``, file_id and line."""
        columns = ", ".join(
            f"{cleaned(name, self.hygiene, self.how)} as {text_name(name)}"
            for name in self.feed.column_names
        )
        zone, joins = _zone(self.feed, self.hygiene, self.how)
        return (
            f"select {columns}, {zone} as zone, r.file_id, r.line "
            f"from raw.{self.feed.name} r {joins} {self.where}"
        )

    def first_layer(self, readings: list[ColumnReading]) -> str:
        """Query of the first layer of every reading, the texts kept beside."""
        values = ", ".join(f"{sql} as {name}" for r in readings for name, sql in r.first.items())
        return f"select {values}, * from ({self.texts()})"

    @property
    def record_key(self) -> str:
        """SQL of a record's key: its parts with '|' between."""
        return " || '|' || ".join(f"coalesce({text_name(name)}, '')" for name in self.feed.key)


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


def _and_current(con: duckdb.DuckDBPyConnection, feed: Feed) -> str:
    outdated = con.execute(
        "select count(*) from quality.outdated where feed = ?", [feed.name]
    ).fetchall()[0][0]
    if not outdated:
        return ""
    return (
        f" and not exists (select 1 from quality.outdated o where o.feed = {literal(feed.name)} "
        "and o.file_id = r.file_id and o.line = r.line)"
    )


def _zone(feed: Feed, hygiene: Hygiene, how: Reading) -> tuple[str, str]:
    """SQL of the zone of a record's place, and the joins that find it."""
    joins, zones = [], []
    for place in feed.zone_from:
        known = (
            "select c.case_number as place, min(l.time_zone) as time_zone "
            "from accepted.cases c join accepted.locations l using (location_id) "
            "group by c.case_number"
            if place == "case_number"
            else "select location_id as place, min(time_zone) as time_zone "
            "from accepted.locations group by location_id"
        )
        alias = f"z_{place}"
        text = cleaned(place, hygiene, how)
        joins.append(f"left join ({known}) {alias} on {alias}.place = {text}")
        zones.append(f"{alias}.time_zone")
    return f"coalesce({', '.join([*zones, 'cast(null as varchar)'])})", " ".join(joins)


def _name_faults(
    con: duckdb.DuckDBPyConnection, feed: Feed, source: _Source, readings: list[ColumnReading]
) -> None:
    texts, origin = identifier, f"raw.{feed.name} r {source.where}"
    if not source.how.is_declared:
        # Words that mean blank and fixed values change how many texts there are.
        texts, origin = text_name, f"({source.texts()})"
    counts = ", ".join(f"count({texts(c.name)})" for c in feed.columns)
    values = ", ".join(f"count({identifier(evidence(c))})" for c in feed.columns)
    written = con.execute(f"select {counts} from {origin}").fetchall()[0]
    read = con.execute(
        f"select {values} from accepted.{feed.name} where {source.of_files}"
    ).fetchall()[0]
    for i, column in enumerate(feed.columns):
        if written[i] != read[i]:
            rule, detail = diagnosis(column, source.how)
            layer = source.first_layer([readings[i]])
            fault = f"{text_name(column.name)} is not null and {readings[i].fault}"
            _insert_rejects(con, source, column.name, rule, detail, f"({layer}) where {fault}")
    if feed.name == "locations":
        _reject_unknown_zones(con, source)


def _insert_rejects(
    con: duckdb.DuckDBPyConnection,
    source: _Source,
    column: str,
    rule: str,
    detail: str,
    faulty: str,
) -> None:
    case_number = text_name("case_number") if source.feed.has_case else "null"
    con.execute(
        f"""
        insert into quality.rejects
        select {literal(source.feed.name)}, {rule}, file_id, line, {source.record_key},
            {case_number}, {literal(column)}, left({text_name(column)}, 500), {detail}
        from {faulty}
        """
    )


def _reject_unknown_zones(con: duckdb.DuckDBPyConnection, source: _Source) -> None:
    """A zone that the zone database does not know would stop every time of the place."""
    known = "(select name from pg_timezone_names())"
    _insert_rejects(
        con, source, "time_zone", "'not_in_list'",
        "'Expected a zone of the IANA zone database, such as America/Chicago.'",
        f"({source.texts()}) where {text_name('time_zone')} not in {known}",
    )  # fmt: skip
    con.execute(f"update accepted.locations set time_zone = null where time_zone not in {known}")
