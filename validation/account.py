"""From judged records to ``accepted`` and ``held``, and the account of every file."""

import duckdb

from pipelines.feeds import FEEDS, Feed
from pipelines.sqltext import literal


def reject_unreadable(con: duckdb.DuckDBPyConnection) -> None:
    """Every piece of text that could not be split into fields becomes a reject."""
    con.execute(
        """
        insert into quality.rejects
        select feed, 'unreadable_record', file_id, line, '', null, null, text,
            'Could not be split into the header''s fields: ' || cause || '.'
        from raw.unreadable
        """
    )


def tell_older_versions(con: duckdb.DuckDBPyConnection) -> None:
    """A reject of a record that has an older version says so: the older one is not used."""
    con.execute(
        """
        update quality.rejects as q
        set detail = concat_ws(' ', q.detail, 'An older version stands in ' || o.file_name
            || ', line ' || o.line || '; it is not used while this one is held back.')
        from (
            select o.feed, o.by_file_id, o.by_line, f.file_name, o.line
            from quality.outdated o
            join raw.files f on f.file_id = o.file_id
            where o.fate = 'replaced'
            qualify row_number() over (
                partition by o.feed, o.by_file_id, o.by_line
                order by coalesce(f.exported_at, f.loaded_at) desc, f.file_name, o.file_id, o.line
            ) = 1
        ) o
        where q.feed = o.feed and q.file_id = o.by_file_id and q.line = o.by_line
        """
    )


def move_held(con: duckdb.DuckDBPyConnection, feed: Feed) -> None:
    """Move the records that have a reject from ``accepted.<feed>`` to ``held.<feed>``."""
    con.execute(f"create or replace table held.{feed.name} ({feed.ddl})")
    of_feed = f"from quality.rejects where feed = {literal(feed.name)}"
    if not con.execute(f"select 1 {of_feed} limit 1").fetchall():
        return
    rejected = f"(select distinct file_id, line {of_feed})"
    con.execute(
        f"""
        insert into held.{feed.name}
        select a.* from accepted.{feed.name} a semi join {rejected} r using (file_id, line)
        order by a.file_id, a.line;
        delete from accepted.{feed.name} a using {rejected} r
        where a.file_id = r.file_id and a.line = r.line
        """
    )


def account_files(con: duckdb.DuckDBPyConnection) -> None:
    """Make ``quality.file_accounts``: one row per file, lines and records, both sides."""
    counts = " union all ".join(
        f"select file_id, count(*) as accepted, 0 as held from accepted.{name} group by file_id "
        f"union all select file_id, 0, count(*) from held.{name} group by file_id"
        for name in FEEDS
    )
    con.execute(
        f"""
        create or replace table quality.file_accounts as
        with kept as (
            select file_id, cast(sum(accepted) as bigint) as accepted,
                cast(sum(held) as bigint) as held
            from ({counts}) group by file_id
        ),
        outdated as (
            select file_id, count(*) filter (where fate = 'repeated') as repeated,
                count(*) filter (where fate = 'replaced') as replaced,
                count(*) filter (where fate = 'vanished') as vanished
            from quality.outdated group by file_id
        ),
        unreadable as (select file_id, count(*) as records from raw.unreadable group by file_id)
        select f.file_id, f.file_name, f.feed, f.total_lines, f.header_lines, f.blank_lines,
            f.record_lines, f.unreadable_lines,
            f.records_read + coalesce(u.records, 0) as records_read,
            coalesce(k.accepted, 0) as accepted, coalesce(k.held, 0) as held_back,
            coalesce(o.repeated, 0) as repeated, coalesce(o.replaced, 0) as replaced,
            coalesce(o.vanished, 0) as vanished,
            coalesce(u.records, 0) as unreadable, f.loaded_at, f.exported_at, f.set_aside
        from raw.files f
        left join kept k using (file_id)
        left join outdated o using (file_id)
        left join unreadable u using (file_id)
        order by f.feed, f.arrival
        """
    )
