"""Acts and documents that are dated after the export that tells of them: they cannot be yet.

A record of what was done is made after it (GS1 EPCIS 2.0: an event is captured when it happened).
The export's instant is what its source declares; the clock of a run says nothing of it.
"""

import duckdb

from pipelines.feeds import FEEDS, Column, Feed, Form
from pipelines.sqltext import identifier, literal
from validation.contracts.records.rule import CLOCK_SKEW
from validation.contracts.rejects import record_key

RULE = "dated_after_export"
#: The calendar day begins first fourteen hours ahead of UTC (Kiribati; IANA zone database).
_EASTERNMOST = "interval '14 hour'"


def reject_after_export(con: duckdb.DuckDBPyConnection, feed: Feed) -> None:
    """Add to ``quality.rejects`` the instants of ``accepted.<feed>`` that lie after the export.

    A file whose name declares no instant cannot be judged so. The newest instant of a file proves
    it clean: only a file that has one too late is read again.
    """
    acts = [column for column in feed.columns if column.is_of_the_past]
    if not acts:
        return
    newest = ", ".join(f"max({_earliest_at(column)})" for column in acts)
    late_files = con.execute(
        f"""
        select f.file_id
        from raw.files f
        join (
            select r.file_id, greatest({newest}, timestamp '0001-01-01') as newest_at
            from accepted.{feed.name} r
            group by r.file_id
        ) r on r.file_id = f.file_id and r.newest_at > f.exported_at_latest + {CLOCK_SKEW}
        order by f.file_id
        """
    ).fetchall()
    for column in acts if late_files else ():
        _reject(con, feed, column, [file_id for (file_id,) in late_files])


def unjudged_files() -> str:
    """SQL of the files whose acts no instant of export judges: rule_code, file_name, reason."""
    feeds = [feed.name for feed in FEEDS.values() if any(c.is_of_the_past for c in feed.columns)]
    return f"""
        select {literal(RULE)} as rule_code, f.file_name,
            'does not say when it was exported' as reason
        from raw.files f
        where f.exported_at_latest is null and f.records_read > 0
            and f.feed in ({", ".join(map(literal, feeds))})
        order by f.file_name, f.file_id
        """


def _reject(
    con: duckdb.DuckDBPyConnection, feed: Feed, column: Column, late_files: list[str]
) -> None:
    value = f"r.{identifier(column.name)}"
    con.execute(
        f"""
        insert into quality.rejects
        select {literal(feed.name)}, {literal(RULE)}, r.file_id, r.line, {record_key(feed)},
            {"r.case_number" if feed.has_case else "null"}, {literal(column.name)},
            cast({_said(column, value)} as varchar),
            'By its name the file was exported on ' || strftime(f.exported_at, '%Y-%m-%d')
            || '; in no zone was that after ' || strftime(f.exported_at_latest, '%Y-%m-%d %H:%M')
            || ' UTC.'
        from accepted.{feed.name} r
        join raw.files f on f.file_id = r.file_id
        -- What a correction says was written when the correction was, after the file that it mends.
        left join quality.corrections k on k.of_file = r.file_id and k.of_line = r.line
            and k.column_name = {literal(column.name)} and k.state = 'applied'
        left join raw.files kf on kf.file_id = k.file_id
        where r.file_id in ({", ".join(map(literal, late_files))})
            and {_earliest_at(column)} > {CLOCK_SKEW} + case when k.file_id is null
                or kf.exported_at_latest < f.exported_at_latest then f.exported_at_latest
                else kf.exported_at_latest end
        order by r.file_id, r.line
        """
    )


def _earliest_at(column: Column) -> str:
    """SQL of the instant; of a date alone when that day first begins anywhere."""
    value = f"r.{identifier(column.name)}"
    day_begins = f"cast({_day(column)} as timestamp) - {_EASTERNMOST}"
    match column.form:
        case Form.DATE:
            return day_begins
        case Form.PAPER:
            return f"coalesce({value}, {day_begins})"
    return value


def _said(column: Column, value: str) -> str:
    return f"coalesce({value}, {_day(column)})" if column.form is Form.PAPER else value


def _day(column: Column) -> str:
    return f"r.{identifier(column.typed_columns[-1].name)}"
