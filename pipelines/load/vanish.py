"""What newer exports no longer hold, and what they add to months that are closed.

A record counts when no newer file of its source that speaks for it lacks it. A file with unreadable
lines, with records without a readable key, or with records swallowed by a field, speaks for nothing
but its own records: what it seems to lack may stand in those, and a note says so.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import duckdb

from pipelines.errors import DropError
from pipelines.feeds import Feed
from pipelines.load.changes import is_in_closed_month, touches
from pipelines.load.damage import is_no_key, swallows, widths_of
from pipelines.load.ways import Way, iso_text, our_text
from pipelines.sources import Settings
from pipelines.sources.match import slice_of
from pipelines.sqltext import literal


@dataclass(frozen=True)
class Removal:
    """What a file makes vanish that had not vanished before: ``gone`` of the ``held`` records that
    older files of its source held of what it speaks for."""

    feed: Feed
    source: str
    file_name: str
    gone: int
    held: int


def record_vanished(
    con: duckdb.DuckDBPyConnection, feed: Feed, settings: Settings, ways: Sequence[Way]
) -> list[Removal]:
    """Add the vanished records of the feed to ``quality.outdated`` and ``quality.changes``; return
    what newly vanishes, by the file that makes it so.

    What still counts there and is older than a file that speaks for it stands in no newer file: a
    newer one with its key would have taken its place.
    """
    if not _find_speakers(con, feed, settings, ways):
        return []
    current = _current_records(feed, ways)
    con.execute(
        f"""
        create or replace temp table vanished as
        with current_records as ({current})
        select c.file_id, c.line, c.source, s.file_id as by_file_id, s.version_at as vanished_at
        from current_records c
        join speakers s on s.source = c.source and s.version_at > c.version_at and s.doubt is null
        where {_IS_SPOKEN_FOR}
        qualify row_number() over (
            partition by c.file_id, c.line order by s.version_at, s.file_id
        ) = 1
        """
    )
    removals = _removals(con, feed, current)
    _record(con, feed, settings, ways)
    _note_unheard(con, feed)
    return removals


#: SQL: the file ``s`` speaks for the day of the record ``c``.
_IS_SPOKEN_FOR = """(s.first_day is null
    or (c.day - c.margin >= s.first_day and c.day + c.margin < s.until_day))"""


def _current_records(feed: Feed, ways: Sequence[Way]) -> str:
    """SQL: the records that no newer version has taken the place of, each with its day."""
    day, margin = "cast(null as date)", "0"
    if feed.dated_by:
        day = f"try_cast(left({iso_text(feed.dated_by, ways)}, 10) as date)"
        # A time in UTC may be of the next or the last day where it was written.
        utc = f"regexp_matches({our_text(feed.dated_by, ways)}, '(Z|[+-]00:?00)$')"
        margin = f"case when {utc} then 1 else 0 end"
    return f"""
        select r.file_id, r.line, f.source, coalesce(f.exported_at, f.loaded_at) as version_at,
            {day} as day, {margin} as margin
        from raw.{feed.name} r
        join raw.files f using (file_id)
        where f.source in (select source from speakers) and not exists (
            select 1 from quality.outdated o
            where o.feed = {literal(feed.name)} and o.file_id = r.file_id and o.line = r.line
        )
    """


def _removals(con: duckdb.DuckDBPyConnection, feed: Feed, current: str) -> list[Removal]:
    """What newly vanishes, file by file.

    What a file brings for the first time was not held before it: the share is of the records that
    it leaves out and of those of its own, or of newer files, that an older file held too.
    """
    con.execute(
        f"""
        create or replace temp table newly_vanished as
        select * from vanished n where not exists (
            select 1 from raw.vanished v
            where v.feed = {literal(feed.name)} and v.file_id = n.file_id and v.line = n.line
        )
        """
    )
    if not con.execute("select 1 from newly_vanished limit 1").fetchall():
        return []
    return [
        Removal(feed, *row)
        for row in con.execute(
            f"""
            with gone as (
                select by_file_id as file_id, count(*) as records from newly_vanished group by all
            ),
            current_records as ({current}),
            held_since as (
                select o.by_file_id, o.by_line, f.source,
                    min(coalesce(f.exported_at, f.loaded_at)) as held_at
                from quality.outdated o join raw.files f using (file_id)
                where o.feed = {literal(feed.name)} and o.fate <> 'vanished'
                group by all
            ),
            kept as (
                select s.file_id, count(*) as records
                from current_records c
                join held_since h on h.by_file_id = c.file_id and h.by_line = c.line
                join speakers s on s.source = h.source
                    and h.held_at < s.version_at and s.version_at <= c.version_at
                join gone on gone.file_id = s.file_id
                where {_IS_SPOKEN_FOR}
                group by s.file_id
            )
            select f.source, f.file_name, gone.records, gone.records + coalesce(kept.records, 0)
            from gone
            join raw.files f using (file_id)
            left join kept using (file_id)
            order by f.source, f.file_name
            """
        ).fetchall()
    ]


def _find_speakers(
    con: duckdb.DuckDBPyConnection, feed: Feed, settings: Settings, ways: Sequence[Way]
) -> int:
    """Make the temporary table ``speakers``: the files that are to speak for more than their
    records, and the ``doubt`` for which one is not heard."""
    speakers: list[tuple[str, str, date | None, date | None, str | None]] = []
    for file_id, name, source, doubt in con.execute(
        "select file_id, file_name, source, case when unreadable_lines > 0 "
        "then 'lines that cannot be read' end from raw.files "
        "where feed = ? and set_aside is null order by arrival",
        [feed.name],
    ).fetchall():
        said = slice_of(name.split("/")[-1], settings, source, feed.name)
        if said is not None:
            speakers.append((file_id, source, said.first, said.until, doubt))
    if not speakers:
        return 0
    con.execute(
        "create or replace temp table speakers "
        "(file_id varchar, source varchar, first_day date, until_day date, doubt varchar, "
        "version_at timestamp)"
    )
    con.executemany("insert into speakers values (?, ?, ?, ?, ?, null)", speakers)
    keyless = " or ".join(
        is_no_key(feed.column(name), our_text(name, ways)) for name in feed.key
    )
    con.execute(
        f"""
        update speakers set version_at = coalesce(f.exported_at, f.loaded_at)
        from raw.files f where f.file_id = speakers.file_id;
        update speakers set doubt = 'records without a readable key' where file_id in (
            select r.file_id from raw.{feed.name} r where {keyless}
        );
        update speakers set doubt = 'fields that hold whole records' where file_id in (
            select r.file_id from raw.{feed.name} r join raw.files f using (file_id)
            where f.record_lines <> f.records_read and ({swallows(feed, widths_of(con, feed))})
        )
        """
    )
    return len(speakers)


def _note_unheard(con: duckdb.DuckDBPyConnection, feed: Feed) -> None:
    """Note each file that was to say what is gone and is not heard, until a newer one is to say it:
    older records that it lacks still count, and somebody may think that they do not."""
    con.execute(
        f"""
        insert into quality.notes
        select {literal(feed.name)}, 'export_not_heard', s.file_id, f.header_lines, '', null, null,
            null, 'It has ' || s.doubt || ': what it lacks may stand there, so every older record '
            || 'that it no longer holds still counts.'
        from speakers s
        join raw.files f on f.file_id = s.file_id
        where s.doubt is not null and not exists (
            select 1 from speakers n
            where n.source = s.source and n.version_at > s.version_at and (
                n.first_day is null or (n.first_day <= s.first_day and n.until_day >= s.until_day)
            )
        )
        order by s.file_id
        """
    )


def _record(
    con: duckdb.DuckDBPyConnection, feed: Feed, settings: Settings, ways: Sequence[Way]
) -> None:
    con.execute(
        f"""
        insert into quality.outdated
        select {literal(feed.name)}, file_id, line, 'vanished', by_file_id, null from vanished;
        delete from quality.rejects q using vanished v
        where q.feed = {literal(feed.name)} and q.file_id = v.file_id and q.line = v.line;
        insert into quality.changes
        select {literal(feed.name)}, {_key_text(feed, ways)}, {_case_number(feed, ways)}, null,
            null, null, 'vanished', {touches(feed, settings, ways, "v.vanished_at", "r")},
            v.file_id, v.line, v.by_file_id, null, v.vanished_at
        from vanished v join raw.{feed.name} r on r.file_id = v.file_id and r.line = v.line
        """
    )


def record_late(
    con: duckdb.DuckDBPyConnection, feed: Feed, settings: Settings, ways: Sequence[Way]
) -> None:
    """Add to ``quality.changes`` the records that came into a month after its books were closed:
    no older version of them stands in ``versions``, and their source had exported before."""
    if feed.dated_by is None or not settings.closed_months:
        return
    is_late = is_in_closed_month(feed, settings, ways, "f.version_at", "r")
    con.execute(
        f"""
        insert into quality.changes
        with dated_files as (
            select *, coalesce(exported_at, loaded_at) as version_at
            from raw.files where feed = {literal(feed.name)} and set_aside is null
        ),
        later_files as (
            select * from dated_files n where exists (
                select 1 from dated_files o
                where o.source = n.source and o.version_at < n.version_at
            )
        )
        select {literal(feed.name)}, {_key_text(feed, ways)}, {_case_number(feed, ways)}, null,
            null, null, 'added', {touches(feed, settings, ways, "f.version_at", "r")},
            null, null, r.file_id, r.line, f.version_at
        from raw.{feed.name} r
        join later_files f on f.file_id = r.file_id
        where {is_late} and not exists (
            select 1 from versions v
            where v.file_id = r.file_id and v.line = r.line and not v.is_first
        )
        """
    )


def require_confirmed(
    con: duckdb.DuckDBPyConnection,
    removals: Sequence[Removal],
    settings: Settings,
    is_confirmed: bool,
) -> None:
    """Refuse a run in which a file makes more than the set share of what was held vanish, unless
    confirmed.

    What vanished in an earlier run was confirmed then; ``raw.vanished`` keeps it.

    Raises:
        DropError: names the file, the counts and what to do; nothing was changed.
    """
    too_many = [
        removal for removal in removals
        if removal.gone > settings.removal_limit * removal.held and not removal.feed.is_whole
    ]  # fmt: skip
    if too_many and not is_confirmed:
        told = "\n  ".join(
            f"{r.file_name}: {r.gone:,} of {r.held:,} {r.feed.name} of the source {r.source} are "
            "no longer there."
            for r in too_many
        )
        raise DropError(
            f"More than {settings.removal_limit:.0%} of what was held would vanish:\n  {told}",
            "Look whether the export is whole. If it is right, run again with --confirm. "
            "Nothing was changed.",
        )
    con.execute(
        """
        delete from raw.vanished;
        insert into raw.vanished
        select feed, file_id, line from quality.outdated where fate = 'vanished'
        """
    )


def _key_text(feed: Feed, ways: Sequence[Way]) -> str:
    return " || '|' || ".join(f"coalesce({our_text(name, ways)}, '')" for name in feed.key)


def _case_number(feed: Feed, ways: Sequence[Way]) -> str:
    return our_text("case_number", ways) if feed.has_case else "null"
