"""Which record of a key counts.

The newest export wins, by the instant in the file's name, else by first arrival. Of equal instants,
equal content counts once; different content is held back, both. An older version is never used. A
record that a newer file speaks for and no longer holds has vanished.
"""

from collections.abc import Sequence

import duckdb

from pipelines.feeds import Feed
from pipelines.load.changes import record_changes
from pipelines.load.vanish import Removal, record_late, record_vanished
from pipelines.load.ways import Way, our_text, ways_of_writing
from pipelines.sources import Settings
from pipelines.sqltext import identifier, literal

NO_SETTINGS = Settings()


def rank_versions(
    con: duckdb.DuckDBPyConnection, feed: Feed, settings: Settings = NO_SETTINGS
) -> list[Removal]:
    """Add to ``quality.outdated`` the records of ``raw.<feed>`` that do not count, with their fate
    (repeated: the same content as the one that counts; replaced: other content; vanished: no longer
    exported), to ``quality.rejects`` the keys that one export instant gives two contents, and to
    ``quality.changes`` what that changes. Returns what newly vanishes."""
    ways = ways_of_writing(con, feed, settings)
    _rank(con, feed, settings, ways)
    removals = record_vanished(con, feed, settings, ways)
    record_late(con, feed, settings, ways)
    return removals


def _rank(
    con: duckdb.DuckDBPyConnection, feed: Feed, settings: Settings, ways: Sequence[Way]
) -> None:
    keys = [our_text(name, ways) for name in feed.key]
    key_names = [f"k{i}" for i in range(len(keys))]
    selected = ", ".join(f"{key} as {name}" for key, name in zip(keys, key_names, strict=True))
    grouped = ", ".join(key_names)
    con.execute(
        f"""
        create or replace temp table doubled as
        select {grouped} from (select {selected} from raw.{feed.name} r)
        where {" and ".join(f"{name} is not null" for name in key_names)}
        group by {grouped} having count(*) > 1;
        create or replace temp table versions (file_id varchar, line bigint, is_first bool)
        """
    )
    if not con.execute("select 1 from doubled limit 1").fetchall():
        return
    content = ", ".join(f"coalesce(trim(r.{identifier(name)}), '')" for name in feed.column_names)
    matches = " and ".join(f"{k} = d.{n}" for k, n in zip(keys, key_names, strict=True))
    key_list = ", ".join(key_names)
    con.execute(
        f"""
        create or replace temp table versions as
        with candidates as (
            select {", ".join(f"d.{n}" for n in key_names)}, r.file_id, r.line,
                md5(concat_ws(chr(31), {content}, coalesce(r.extra_fields, ''))) as content,
                coalesce(f.exported_at, f.loaded_at) as version_at, f.file_name,
                {our_text("case_number", ways) if feed.has_case else "null"} as case_number
            from raw.{feed.name} r
            join doubled d on {matches}
            join raw.files f on f.file_id = r.file_id
        )
        select *,
            max(version_at) over (partition by {key_list}) as newest_at,
            row_number() over by_version as place,
            row_number() over by_version = count(*) over (partition by {key_list}) as is_first,
            first_value(content) over by_version as newest_content,
            first_value(file_id) over by_version as newest_file_id,
            first_value(line) over by_version as newest_line
        from candidates
        window by_version as (
            partition by {key_list} order by version_at desc, file_name, file_id, line
        );
        create or replace temp table contradicting as
        select {key_list} from versions where version_at = newest_at
        group by {grouped} having count(distinct content) > 1
        """
    )
    key_text = " || '|' || ".join(key_names)
    con.execute(
        f"""
        insert into quality.outdated
        select {literal(feed.name)}, file_id, line,
            case when content = newest_content then 'repeated' else 'replaced' end,
            newest_file_id, newest_line
        from versions v
        where place > 1 and (
            version_at < newest_at
            or not exists (select 1 from contradicting c
                           where ({", ".join(f"c.{n}" for n in key_names)})
                               = ({", ".join(f"v.{n}" for n in key_names)}))
        );
        insert into quality.rejects
        select {literal(feed.name)}, 'key_with_two_contents', v.file_id, v.line, {key_text},
            v.case_number, {literal(feed.key[-1])}, {key_text},
            'This key stands ' || count(*) over (partition by {key_list})
            || ' times with different content in exports of one instant.'
        from versions v semi join contradicting using ({key_list})
        where v.version_at = v.newest_at
        """
    )
    record_changes(con, feed, settings, key_names, ways)
