with times as (
    select
        coalesce(location_id, '(group)') as location_id,
        step_code,
        'week' as cohort_kind,
        started_week as cohort_start,
        hours,
        cast(count(case when is_finished then 1 end) as bigint) as finished_count,
        cast(count(case when not is_finished then 1 end) as bigint) as open_count
    from {{ ref("int_started_steps") }}
    group by grouping sets ((location_id, step_code, started_week, hours), (step_code, started_week, hours))

    union all

    select
        coalesce(location_id, '(group)') as location_id,
        step_code,
        '{{ recent_weeks() }} weeks' as cohort_kind,
        first_week as cohort_start,
        hours,
        cast(count(case when is_finished then 1 end) as bigint) as finished_count,
        cast(count(case when not is_finished then 1 end) as bigint) as open_count
    from {{ ref("int_started_steps") }}
    where is_recent
    group by grouping sets ((location_id, step_code, first_week, hours), (step_code, first_week, hours))
)

{{ survival_curve("times", ["location_id", "step_code", "cohort_kind", "cohort_start"]) }}
