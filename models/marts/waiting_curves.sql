-- The way as a whole, for a picture. Curves of its own: int_survival_curves has every step and week.
with times as (
    select
        coalesce(location_id, '(group)') as location_id,
        step_code,
        hours,
        cast(count(case when is_finished then 1 end) as bigint) as finished_count,
        cast(count(case when not is_finished then 1 end) as bigint) as open_count
    from {{ ref("int_started_steps") }}
    where is_recent and step_code = 'call_to_disposition'
    group by grouping sets ((location_id, step_code, hours), (step_code, hours))
),

curves as (
    {{ survival_curve("times", ["location_id", "step_code"]) }}
),

points as (
    {{ curve_points("curves", ["location_id", "step_code"]) }}
)

select
    location_id,
    step_code,
    hours,
    cast(at_risk_count as bigint) as at_risk_count,
    cast(finished_count as bigint) as finished_count,
    {{ settled("still_open_share") }} as still_open_share,
    {{ settled("still_open_low_share") }} as still_open_low_share,
    {{ settled("still_open_high_share") }} as still_open_high_share
from points
