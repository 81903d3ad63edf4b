{% set events_of_case = "partition by case_number order by event_number" %}

with summed as (
    select
        case_number,
        event_number,
        event_id,
        action,
        {{ holds_summed(events_of_case) }} as holds_sum
    from {{ ref("int_custody_events") }}
    where action in ('hold_placed', 'hold_lifted')
),

so_far as (
    select
        case_number,
        event_number,
        event_id,
        {{ holds_standing("holds_sum", events_of_case) }} as holds,
        max(case when action = 'hold_placed' then event_number end) over (partition by case_number) as placed_number,
        row_number() over (partition by case_number order by event_number desc) as newest_number
    from summed
)

select
    case_number,
    max(case when event_number = placed_number then event_id end) as event_id
from so_far
group by case_number
having max(case when newest_number = 1 then holds end) > 0
