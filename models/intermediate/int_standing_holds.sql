{% set events_of_case = "partition by case_number order by event_number" %}

-- A lifting names no hold: of several that were placed since none stood, each may be the one that stands.
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
        action,
        {{ holds_standing("holds_sum", events_of_case) }} as holds
    from summed
),

free as (
    select
        case_number,
        max(event_number) as event_number
    from so_far
    where holds = 0
    group by case_number
)

select
    so_far.case_number,
    string_agg(so_far.event_id, ', ' order by so_far.event_number) as event_id
from so_far
left join free
    on so_far.case_number = free.case_number
where so_far.action = 'hold_placed' and so_far.event_number > coalesce(free.event_number, 0)
group by so_far.case_number
