"""The weekly figures as they were last printed, so that the next run can tell what changed."""

from datetime import datetime

import duckdb


def keep_figures(con: duckdb.DuckDBPyConnection, as_of: datetime) -> None:
    """Put ``marts.weekly_turnaround`` in the place of ``quality.figure_history``.

    ``marts.figure_changes`` read it as the run before left it. Two years of weeks are kept.
    """
    con.execute(
        """
        delete from quality.figure_history;
        insert into quality.figure_history by name
        select location_id, step_code, week_start, finished_count, median_hours, is_complete_week,
            $now::timestamp as as_of
        from marts.weekly_turnaround
        where week_start > $now::date - 728
        order by location_id, step_code, week_start
        """,
        {"now": as_of.replace(tzinfo=None)},
    )
