"""``raw.<feed>`` into ``accepted.<feed>``, and a reject for every value that cannot be read.

The typed value of unreadable text is NULL, so counting proves a column clean: as many typed values
as texts. Only a column that does not add up is read a second time, to name its faults.
"""

import duckdb

from pipelines.feeds import Feed
from pipelines.load.ways import ways_of_writing
from pipelines.sources import Settings
from pipelines.sources.zones import ZONES
from pipelines.sqltext import identifier, literal
from validation.parse.doubled import mark_doubled
from validation.parse.forms import ColumnReading, diagnosis, evidence, reading, text_name
from validation.parse.source import Source
from validation.parse.totals import reject_totals
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
        source = Source(con, feed, how, files)
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
        reject_totals(con, source)
        mark_doubled(con, source)


def _name_faults(
    con: duckdb.DuckDBPyConnection, feed: Feed, source: Source, readings: list[ColumnReading]
) -> None:
    texts, origin = identifier, f"{source.raw} {source.where}"
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
            rule, detail = diagnosis(column, source.hygiene, source.how)
            layer = source.first_layer([readings[i]], column.name)
            fault = f"{text_name(column.name)} is not null and {readings[i].fault}"
            source.write(con, "rejects", f"({layer}) where {fault}", rule, detail, column.name)
    if feed.name == "locations":
        _reject_unknown_zones(con, source)


def _reject_unknown_zones(con: duckdb.DuckDBPyConnection, source: Source) -> None:
    """A zone that the zone database does not know would stop every time of the place, and the
    engine has names of its own: its BST is the time of Dhaka."""
    listed = ", ".join(map(literal, sorted(ZONES)))
    known = f"(select name from pg_timezone_names() where name in ({listed}))"
    unknown = f"({source.texts('time_zone')}) where {text_name('time_zone')} not in {known}"
    source.write(
        con, "rejects", unknown, "'not_in_list'",
        "'Expected a zone of the IANA zone database, such as America/Chicago.'",
        "time_zone",
    )  # fmt: skip
    con.execute(f"update accepted.locations set time_zone = null where time_zone not in {known}")
