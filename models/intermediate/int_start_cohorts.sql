with cohorts as (
    select
        coalesce(location_id, '(group)') as location_id,
        step_code,
        max(step_name) as step_name,
        'week' as cohort_kind,
        started_week as cohort_start,
        {{ add_days("started_week", 6) }} as cohort_end,
        count(*) as started_count,
        count(case when is_finished then 1 end) as finished_count
    from {{ ref("int_started_steps") }}
    group by grouping sets ((location_id, step_code, started_week), (step_code, started_week))

    union all

    select
        coalesce(location_id, '(group)') as location_id,
        step_code,
        max(step_name) as step_name,
        '{{ recent_weeks() }} weeks' as cohort_kind,
        first_week as cohort_start,
        last_date as cohort_end,
        count(*) as started_count,
        count(case when is_finished then 1 end) as finished_count
    from {{ ref("int_started_steps") }}
    where is_recent
    group by grouping sets ((location_id, step_code, first_week, last_date), (step_code, first_week, last_date))
)

select
    cast(
        row_number() over (order by location_id, step_code, cohort_kind, cohort_start) as integer
    ) as cohort_id,
    location_id,
    step_code,
    step_name,
    cohort_kind,
    cohort_start,
    cohort_end,
    cast(started_count as bigint) as started_count,
    cast(finished_count as bigint) as finished_count,
    cast(started_count - finished_count as bigint) as open_count
from cohorts
