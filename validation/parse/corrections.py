"""Known errors of a source, corrected where the text is read: visibly, and no longer than needed.

Raw text stays as it came. A correction is applied when its file holds the record, the record
counts, the value is what the correction says it was, and its last day has not passed.
"""

from datetime import date

import duckdb

from pipelines.feeds import FEEDS, Feed
from pipelines.load.ways import our_text, ways_of_writing
from pipelines.sources import Settings
from pipelines.sqltext import identifier, literal

#: State -> the note that says it loudly; an applied one is listed and no more.
NOTED = {
    "expired": "correction_expired",
    "not needed": "correction_not_needed",
    "does not fit": "correction_does_not_fit",
}
#: A correction ``c`` that is whole and readable; no other is applied or told, it is held back.
_STANDS = " and ".join(
    f"c.{identifier(column.name)} is not null"
    for column in FEEDS["corrections"].columns if column.is_required
) + """ and not exists (
    select 1 from quality.rejects q
    where q.feed = 'corrections' and q.file_id = c.file_id and q.line = c.line
)"""  # fmt: skip


def find_corrections(
    con: duckdb.DuckDBPyConnection, feed: Feed, settings: Settings, today: date
) -> None:
    """Add to ``quality.corrections`` what becomes of each correction of the feed's records.

    Expects ``accepted.corrections`` parsed and the feed's versions ranked.
    """
    corrected = [] if feed.name == "corrections" else _columns_named(con, feed)
    if not corrected:
        return
    ways = ways_of_writing(con, feed, settings)
    key = " || '|' || ".join(f"coalesce({our_text(name, ways)}, '')" for name in feed.key)
    found, newer = (
        " ".join(
            f"when {literal(c)} then {_text(f'{r}.{identifier(c)}')}"
            for c in feed.column_names if c in {*corrected, *feed.key}
        )
        for r in ("r", "nr")
    )
    names = ", ".join(map(literal, feed.column_names))
    keys = ", ".join(map(literal, feed.key))
    con.execute(
        f"""
        insert into quality.corrections
        with wanted as (
            select c.*, f.file_id as of_file
            from accepted.corrections c
            join raw.files f on f.file_name = c.file_name and f.feed = {literal(feed.name)}
            where {_STANDS}
        ),
        records as (
            select r.file_id as of_file, r.line as of_line, nfc_normalize({key}) as record_key, r.*
            from raw.{feed.name} r
            where r.file_id in (select of_file from wanted)
        ),
        met as (
            select w.file_name, w.record_key, w.column_name, w.was, w.becomes, w.reason,
                w.decided_by, w.expires_on, w.file_id, w.line, r.of_file, r.of_line,
                case w.column_name {found} end as found, o.fate, n.file_name as newer_file,
                o.by_line is not null and case w.column_name {newer} end
                    is not distinct from w.was and w.was is distinct from w.becomes as is_still_so
            from wanted w
            left join records r on r.of_file = w.of_file and r.record_key = w.record_key
            left join quality.outdated o
                on o.feed = {literal(feed.name)} and o.file_id = r.of_file and o.line = r.of_line
            left join raw.files n on n.file_id = o.by_file_id
            left join raw.{feed.name} nr on nr.file_id = o.by_file_id and nr.line = o.by_line
            -- Where the key stands again, in that file or in one of the same name, what counts.
            qualify (r.line is not null and o.fate is null) or row_number() over (
                partition by w.file_id, w.line
                order by r.line is null, o.fate is not null, o.fate, w.of_file desc, r.line desc
            ) = 1
        )
        select {literal(feed.name)}, file_name, record_key, column_name, was, becomes, reason,
            decided_by, expires_on, file_id, line, of_file, of_line,
            case when column_name not in ({names}) or column_name in ({keys})
                    or of_line is null or is_still_so then 'does not fit'
                when fate is not null or found is not distinct from becomes then 'not needed'
                when found is distinct from was then 'does not fit'
                when expires_on < cast({literal(today.isoformat())} as date) then 'expired'
                else 'applied' end,
            case when column_name not in ({names}) then 'The feed has no such column.'
                when column_name in ({keys}) then 'A key cannot be corrected: mend the source.'
                when of_line is null then 'The file has no record of this key.'
                when is_still_so then newer_file || ' is newer and still says '
                    || coalesce(was, 'nothing') || ': the correction must name that file.'
                when fate is not null
                    then 'The record no longer counts: ' || newer_file || ' is newer.'
                when found is not distinct from becomes then 'The file says so itself.'
                when found is distinct from was
                    then 'The file says ' || coalesce(found, 'nothing') || '.'
                when expires_on < cast({literal(today.isoformat())} as date)
                    then 'Its last day has passed: the value counts as it came.'
                end
        from met
        """
    )


def find_strangers(con: duckdb.DuckDBPyConnection) -> None:
    """Corrections of files that never came are told as well, once every feed was looked at."""
    con.execute(
        f"""
        insert into quality.corrections
        select null, c.file_name, c.record_key, c.column_name, c.was, c.becomes, c.reason,
            c.decided_by, c.expires_on, c.file_id, c.line, null, null, 'does not fit',
            'No file of that name was read.'
        from accepted.corrections c
        where {_STANDS} and not exists (
            select 1 from quality.corrections q where q.file_id = c.file_id and q.line = c.line
        )
        """
    )


def note_corrections(con: duckdb.DuckDBPyConnection) -> None:
    """What is expired, no longer needed or does not fit becomes a note."""
    whens = " ".join(f"when {literal(a)} then {literal(b)}" for a, b in NOTED.items())
    con.execute(
        f"""
        insert into quality.notes
        select 'corrections', case state {whens} end, file_id, line,
            file_name || '|' || record_key || '|' || column_name, null, column_name, becomes, detail
        from quality.corrections where state <> 'applied'
        """
    )


def with_corrections(con: duckdb.DuckDBPyConnection, feed: Feed) -> str | None:
    """SQL to read ``raw.<feed>`` as ``r`` with what was corrected; None where nothing was."""
    columns = [
        str(name)
        for (name,) in con.execute(
            "select distinct column_name from quality.corrections "
            "where feed = ? and state = 'applied' order by 1",
            [feed.name],
        ).fetchall()
    ]
    if not columns:
        return None
    pivoted = ", ".join(
        f"max(becomes) filter (where column_name = {literal(c)}) as {identifier(c)}, "
        f"bool_or(column_name = {literal(c)}) as {identifier('is_' + c)}"
        for c in columns
    )
    replaced = ", ".join(
        f"case when k.{identifier('is_' + c)} then k.{identifier(c)} else o.{identifier(c)} end "
        f"as {identifier(c)}"
        for c in columns
    )
    return (
        f"(select o.* replace ({replaced}) from raw.{feed.name} o left join ("
        f"select of_file, of_line, {pivoted} from quality.corrections "
        f"where feed = {literal(feed.name)} and state = 'applied' group by of_file, of_line"
        ") k on k.of_file = o.file_id and k.of_line = o.line) r"
    )


def _text(column: str) -> str:
    """SQL of a raw value as the corrections are read: trimmed, and spelled in one way."""
    return f"nfc_normalize(nullif(trim({column}, chr(32) || chr(9) || chr(160)), ''))"


def _columns_named(con: duckdb.DuckDBPyConnection, feed: Feed) -> list[str]:
    """What the corrections of the feed's files name as columns."""
    found = con.execute(
        "select distinct c.column_name from accepted.corrections c "
        "join raw.files f using (file_name) where f.feed = ?",
        [feed.name],
    ).fetchall()
    return [str(name) for (name,) in found]
