"""The memory of findings: their numbers, when they were first and last seen, what closed them."""

from datetime import datetime

import duckdb


def keep_history(con: duckdb.DuckDBPyConnection, as_of: datetime) -> None:
    """Bring ``quality.finding_history`` up to this run, from ``marts.findings`` and
    ``marts.finding_changes``, which read it as the run before left it."""
    now = as_of.replace(tzinfo=None)
    con.execute(
        """
        create or replace temp table history as
        select f.finding_number, f.finding_key, f.rule_code, f.severity, f.case_number,
            f.location_id, f.occurred_at, f.detail, f.file_id_a, f.line_a, f.file_id_b, f.line_b,
            f.first_seen_at, $now as last_seen_at, null::timestamp as closed_at,
            null::varchar as closed_by
        from marts.findings f
        union all
        select h.* replace (
            coalesce(h.closed_at, $now) as closed_at,
            coalesce(h.closed_by, c.closed_by) as closed_by
        )
        from quality.finding_history h
        left join marts.finding_changes c
            on c.finding_number = h.finding_number and c.change_kind = 'closed'
        where h.finding_key not in (select finding_key from marts.findings)
        """,
        {"now": now},
    )
    con.execute(
        """
        delete from quality.finding_history;
        insert into quality.finding_history by name from history order by finding_number;
        drop table history
        """
    )
