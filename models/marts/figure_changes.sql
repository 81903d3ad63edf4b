-- Weekly figures that the last run printed otherwise, and whose newer records did it. The history is that of the run
-- before; weeks that had not ended then are expected to change and are not told.
with history as (
    select * from {{ source("quality", "figure_history") }}
),

compared as (
    select
        coalesce(figures.location_id, history.location_id) as location_id,
        coalesce(figures.step_code, history.step_code) as step_code,
        coalesce(figures.week_start, history.week_start) as week_start,
        coalesce(history.finished_count, 0) as was_finished_count,
        coalesce(figures.finished_count, 0) as finished_count,
        history.median_hours as was_median_hours,
        figures.median_hours
    from {{ ref("weekly_turnaround") }} as figures
    full outer join history
        on
            figures.location_id = history.location_id
            and figures.step_code = history.step_code
            and figures.week_start = history.week_start
),

printed as (
    select
        max(as_of) as as_of,
        min(week_start) as first_week,
        max(case when is_complete_week then week_start end) as last_week
    from history
),

changed as (
    select
        compared.*,
        printed.as_of as printed_at
    from compared
    cross join printed
    where
        compared.week_start between printed.first_week and printed.last_week
        and (
            compared.was_finished_count <> compared.finished_count
            or coalesce(compared.was_median_hours, -1) <> coalesce(compared.median_hours, -1)
        )
),

newer as (
    select
        changes.case_number,
        max(files.loaded_at) as loaded_at
    from {{ source("quality", "changes") }} as changes
    inner join {{ source("raw", "files") }} as files
        on changes.newer_file_id = files.file_id
    where changes.case_number is not null
    group by changes.case_number
),

whys as (
    select
        changed.location_id,
        changed.step_code,
        changed.week_start,
        {{ list_text("newer.case_number") }} as case_numbers
    from changed
    inner join {{ ref("case_steps") }} as steps
        on
            changed.step_code = steps.step_code
            and changed.week_start = steps.finished_week
            and (changed.location_id = '(group)' or changed.location_id = steps.location_id)
    inner join newer
        on steps.case_number = newer.case_number and changed.printed_at < newer.loaded_at
    group by changed.location_id, changed.step_code, changed.week_start
)

select
    changed.location_id,
    changed.step_code,
    changed.week_start,
    changed.was_finished_count,
    changed.finished_count,
    changed.was_median_hours,
    changed.median_hours,
    coalesce(
        'newer records of ' || whys.case_numbers,
        case
            when changed.finished_count < changed.was_finished_count then 'cases that are no longer in this week'
            else 'records that came late, or that are trusted now'
        end
    ) as why,
    changed.printed_at
from changed
left join whys
    on
        changed.location_id = whys.location_id
        and changed.step_code = whys.step_code
        and changed.week_start = whys.week_start
