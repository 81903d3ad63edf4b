"""What is worth a look and holds nothing back: ``quality.notes``."""

import duckdb

from pipelines.feeds import FEEDS
from pipelines.sqltext import identifier, literal
from validation.laxer import note_laxer
from validation.parse.corrections import note_corrections
from validation.parse.doubled import note_doubled

#: Lists whose keys others write: a key that differs by case alone may be another's record.
_LISTS = ("locations", "cases", "supply_items")


def note_records(con: duckdb.DuckDBPyConnection) -> None:
    """Write every note, once the records are judged and before they are moved to ``held``."""
    con.execute(
        """
        insert into quality.notes
        select feed, rule_code, file_id, line, '', null, null, null, detail from raw.file_notes;
        insert into quality.notes
        select f.feed, 'undeclared_column', f.file_id, f.header_lines, '', null,
            coalesce(nullif(c.heading, ''), 'column ' || (c.position + 1)), null,
            'It is kept as text with the records; no rule and no page reads it.'
        from raw.file_columns c
        join raw.files f using (file_id)
        where c.column_name is null and c.has_data
        """
    )
    for name in _LISTS:
        _note_case(con, name)
    note_doubled(con)
    note_corrections(con)
    note_laxer(con)


def _note_case(con: duckdb.DuckDBPyConnection, name: str) -> None:
    feed = FEEDS[name]
    key = identifier(feed.key[0])
    case_number = "case_number" if feed.has_case else "null"
    con.execute(
        f"""
        insert into quality.notes
        select {literal(name)}, 'key_differs_by_case', file_id, line, {key}, {case_number},
            {literal(feed.key[0])}, {key}, 'Written otherwise: ' || others || '.'
        from (
            select file_id, line, {key}, {case_number},
                list_aggregate(list_sort(list_filter(
                    list_distinct(list({key}) over same), lambda other: other <> {key}
                )), 'string_agg', ', ') as others
            from accepted.{name}
            where lower({key}) in (
                select lower({key}) from accepted.{name}
                group by 1 having count(distinct {key}) > 1
            )
            window same as (partition by lower({key}))
        )
        """
    )
