with started as (
    select
        steps.step_code,
        count(*) as steps,
        count(case when steps.step_state = 'open' then 1 end) as open_steps
    from {{ ref("case_steps") }} as steps
    cross join {{ ref("int_recent_weeks") }} as weeks
    where
        steps.step_state in ('finished', 'open')
        and not steps.is_trade_call
        and steps.hours >= 0
        and steps.started_week >= {{ add_days("weeks.last_week", -364) }}
    group by steps.step_code
),

weekly as (
    select
        step_code,
        sum(case when location_id = '(group)' then started_count else 0 end) as of_group,
        sum(case when location_id = '(group)' then open_count else 0 end) as open_of_group,
        sum(case when location_id = '(group)' then 0 else finished_count + open_count end) as of_locations
    from {{ ref("started_turnaround") }}
    where cohort_kind = 'week'
    group by step_code
)

select
    started.step_code,
    started.steps,
    weekly.of_group,
    weekly.of_locations,
    weekly.open_of_group
from started
full outer join weekly
    on started.step_code = weekly.step_code
where
    started.steps is distinct from weekly.of_group
    or started.steps is distinct from weekly.of_locations
    or started.open_steps is distinct from weekly.open_of_group
