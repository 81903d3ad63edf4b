with finished as (
    select
        step_code,
        count(*) as steps
    from {{ ref("case_steps") }}
    where step_state = 'finished' and not is_trade_call
    group by step_code
),

weekly as (
    select
        step_code,
        sum(case when location_id = '(group)' then finished_count else 0 end) as of_group,
        sum(case when location_id = '(group)' then 0 else finished_count end) as of_locations
    from {{ ref("weekly_turnaround") }}
    group by step_code
)

select
    finished.step_code,
    finished.steps,
    weekly.of_group,
    weekly.of_locations
from finished
full outer join weekly
    on finished.step_code = weekly.step_code
where
    finished.steps is distinct from weekly.of_group
    or finished.steps is distinct from weekly.of_locations
