"""Who changed history: what differs, field by field, between two exports of one record."""

from collections.abc import Sequence

import duckdb

from pipelines.feeds import Feed
from pipelines.load.ways import Way, iso_text, our_text
from pipelines.sources import Settings
from pipelines.sqltext import literal


def touches(
    feed: Feed, settings: Settings, ways: Sequence[Way], changed_at: str, *records: str
) -> str:
    """SQL: what of the past a change at ``changed_at`` touches, ``;`` between; null for nothing.

    ``records`` are aliases of raw records: the older one first. Months are those of the day as the
    source wrote it.
    """
    parts = []
    if feed.name == "custody_events":
        parts.append("'past custody event'")
    if feed.name == "statement_lines":
        kind = our_text("document_kind", ways, records[0])
        parts.append(f"case when {kind} = 'invoice' then 'issued invoice' end")
    if feed.dated_by and settings.closed_months:
        is_closed = " or ".join(
            is_in_closed_month(feed, settings, ways, changed_at, record) for record in records
        )
        parts.append(f"case when {is_closed} then 'closed month' end")
    return f"nullif(concat_ws('; ', {', '.join(parts)}), '')" if parts else "cast(null as varchar)"


def is_in_closed_month(
    feed: Feed, settings: Settings, ways: Sequence[Way], changed_at: str, record: str
) -> str:
    """SQL: the record's month was closed when it changed."""
    assert feed.dated_by is not None
    month = f"left({iso_text(feed.dated_by, ways, record)}, 7)"
    whens = " ".join(
        f"when {literal(name)} then {changed_at} >= timestamp {literal(closed_on.isoformat())}"
        for name, closed_on in sorted(settings.closed_months.items())
    )
    return f"coalesce(case {month} {whens} end, false)"


def record_changes(
    con: duckdb.DuckDBPyConnection,
    feed: Feed,
    settings: Settings,
    keys: list[str],
    ways: Sequence[Way],
) -> None:
    """Add to ``quality.changes`` what differs between each version of a key and the one before.

    Reads the temporary table ``versions`` (``keys``, file_id, line, version_at, content). A column
    that the newer file does not have is *not_exported*, which is not the same as cleared.
    """
    key_list = ", ".join(keys)
    was, becomes = (
        {name: our_text(name, ways, record) for name in feed.column_names} for record in ("o", "n")
    )
    fields = ", ".join(
        f"{{name: {literal(name)}, was: {was[name]}, becomes: {becomes[name]}}}"
        for name in feed.column_names
    )
    touched = touches(feed, settings, ways, "p.version_at", "o", "n")
    con.execute(
        f"""
        insert into quality.changes
        with stepped as (
            select *,
                lead(file_id) over step as older_file_id, lead(line) over step as older_line,
                lead(content) over step as older_content, lead(version_at) over step as older_at
            from versions
            window step as (
                partition by {key_list} order by version_at desc, file_name, file_id, line
            )
        ),
        pairs as (
            select * from stepped
            where older_content <> content and older_at < version_at
        ),
        compared as (
            select {" || '|' || ".join(f"p.{key}" for key in keys)} as record_key, p.case_number,
                p.older_file_id, p.older_line, p.file_id, p.line, p.version_at,
                {touched} as touches, unnest([{fields}]) as field
            from pairs p
            join raw.{feed.name} n on n.file_id = p.file_id and n.line = p.line
            join raw.{feed.name} o on o.file_id = p.older_file_id and o.line = p.older_line
        )
        select {literal(feed.name)}, c.record_key, c.case_number, c.field.name, c.field.was,
            c.field.becomes,
            case when h.file_id is null then 'not_exported' when c.field.becomes is null
                then 'cleared' when c.field.was is null then 'filled' else 'changed' end,
            c.touches, c.older_file_id, c.older_line, c.file_id, c.line, c.version_at
        from compared c
        left join raw.file_columns h
            on h.file_id = c.file_id and h.column_name = c.field.name
        where c.field.was is distinct from c.field.becomes
        """
    )
