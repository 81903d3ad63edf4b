"""Local times that come twice, when summer time ends: marked, with both instants."""

import duckdb

from pipelines.feeds import Form
from pipelines.sources import DECLARED
from pipelines.sqltext import identifier, literal
from validation.parse.forms import clock_zone, day_name, text_name
from validation.parse.source import Source

#: The hours in which zones set their clocks back: other hours are not looked at.
NIGHT_HOURS = ("00", "01", "02", "03", "21", "22", "23")
_BARE_NIGHT = (
    rf"\d{{4}}-\d{{2}}-\d{{2}}[T ]({'|'.join(NIGHT_HOURS)}):[0-5]\d(:[0-5]\d(\.\d{{1,6}})?)?"
)


def mark_doubled(con: duckdb.DuckDBPyConnection, source: Source) -> None:
    """Add to ``quality.doubled_times`` every time without an offset that its place had twice."""
    feed = source.feed
    timed = [c.name for c in feed.columns if c.form in {Form.INSTANT, Form.PAPER}]
    if not timed:
        return
    if source.how.dates == DECLARED.dates and not _may_be(con, source, timed):
        return
    walls = {name: day_name(name, source.how) for name in timed}
    is_bare = " or ".join(
        f"(substr({wall}, 12, 2) in ({', '.join(map(literal, NIGHT_HOURS))}) "
        f"and regexp_full_match({wall}, {literal(_BARE_NIGHT)}))"
        for wall in walls.values()
    )
    fields = ", ".join(
        f"{{column_name: {literal(name)}, wall: {wall}, earlier_at: a.{identifier(name)}}}"
        for name, wall in walls.items()
    )
    con.execute(
        f"""
        insert into quality.doubled_times
        with bare as (select * from ({source.texts(*timed)}) where {is_bare}),
        fields as (
            select t.file_id, t.line, {clock_zone(source.how)} as zone,
                {source.record_key} as record_key,
                {text_name("case_number") if feed.has_case else "null"} as case_number,
                unnest([{fields}], recursive := true)
            from bare t
            join accepted.{feed.name} a on a.file_id = t.file_id and a.line = t.line
        ),
        twice as (
            -- Three hours on, the clocks have gone back: what they showed then, less three.
            select *, timezone('UTC', timezone(
                zone, try_cast(wall as timestamp) + interval 3 hour
            )) - interval 3 hour as later_at
            from fields
            where regexp_full_match(wall, {literal(_BARE_NIGHT)})
        )
        select {literal(feed.name)}, file_id, line, record_key, case_number, column_name, wall,
            earlier_at, later_at, 'earlier'
        from twice
        where later_at > earlier_at
            and timezone(zone, timezone('UTC', later_at)) = try_cast(wall as timestamp)
        """
    )


def _may_be(con: duckdb.DuckDBPyConnection, source: Source, timed: list[str]) -> bool:
    """Some text has the length of a time without an offset and an hour of the night: a quick look
    that spares most feeds the close one.

    What begins with a digit and has a sign after hours and minutes is seen first: most times."""
    hours = ", ".join(map(literal, NIGHT_HOURS))
    looks = " or ".join(
        f"(not ({t} >= '0' and {t} < ':' and substr({t}, 17, 1) in ('+', '-')) "
        f"and length(trim({t})) between 16 and 26 "
        f"and substr(trim({t}), 12, 2) in ({hours}) "
        f"and right(trim({t}), 1) <> 'Z' "
        f"and substr(trim({t}), 17, 1) not in ('+', '-'))"
        for t in (f"r.{identifier(name)}" for name in timed)
    )
    query = f"select 1 from {source.raw} {source.where} and ({looks}) limit 1"
    return bool(con.execute(query).fetchall())


def note_doubled(con: duckdb.DuckDBPyConnection) -> None:
    """Each of them becomes a note that says which instant was taken."""
    con.execute(
        """
        insert into quality.notes
        select feed, 'ambiguous_local_time', file_id, line, record_key, case_number, column_name,
            wall, 'The clocks showed it at ' || strftime(earlier_at, '%Y-%m-%d %H:%M')
            || ' UTC and at ' || strftime(later_at, '%Y-%m-%d %H:%M') || ' UTC; the ' || taken
            || ' is taken' || case when taken = 'later'
                then ', because the chain of custody holds with it.' else '.' end
        from quality.doubled_times
        """
    )
