with places as (
    -- One date a place: a clock's zone is slow to ask for each step.
    select
        location_id,
        {{ local_date(as_of(), "time_zone") }} as today_date
    from {{ ref("stg_locations") }}
),

finished as (
    select
        steps.location_id,
        steps.step_code,
        steps.step_name,
        steps.finished_week as week_start,
        steps.hours,
        steps.is_within_target,
        coalesce(places.today_date, cast({{ as_of() }} as date)) as today_date
    from {{ ref("case_steps") }} as steps
    left join places
        on steps.location_id = places.location_id
    where steps.step_state = 'finished' and not steps.is_trade_call
),

counted as (
    -- A week is complete at a location when its Sunday has passed there; of the group when it has
    -- passed everywhere.
    select
        coalesce(location_id, '(group)') as location_id,
        step_code,
        step_name,
        week_start,
        cast(count(*) as bigint) as finished_count,
        {{ quantile("hours", 0.5) }} as median_hours,
        {{ quantile("hours", 0.9) }} as p90_hours,
        cast(count(case when is_within_target then 1 end) as bigint) as within_target_count,
        cast(count(is_within_target) as bigint) as judged_count,
        min(today_date) >= {{ add_days("week_start", 7) }} as is_complete_week
    from finished
    group by grouping sets ((location_id, step_code, step_name, week_start), (step_code, step_name, week_start))
)

select
    location_id,
    step_code,
    step_name,
    week_start,
    {{ iso_week_label("week_start") }} as week_label,
    finished_count,
    case when finished_count >= {{ var("min_count") }} then median_hours end as median_hours,
    case when finished_count >= {{ var("min_count") }} then p90_hours end as p90_hours,
    within_target_count,
    case
        when finished_count >= {{ var("min_count") }}
            then {{ to_double("within_target_count") }} / nullif(judged_count, 0)
    end as within_target_share,
    is_complete_week
from counted
