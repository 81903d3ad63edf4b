with legs as (
    select
        case_number,
        leg_number,
        started_event_id,
        started_at,
        started_action,
        lag(ended_action) over (partition by case_number order by leg_number) as ended_before_action,
        lag(ended_event_id) over (partition by case_number order by leg_number) as ended_before_event_id,
        lag(ended_at) over (partition by case_number order by leg_number) as ended_before_at,
        lag(leg_number) over (partition by case_number order by leg_number) as leg_before
    from {{ ref("custody_legs") }}
)

select
    case_number,
    leg_number,
    started_event_id,
    started_at,
    ended_before_event_id,
    ended_before_at
from legs
where
    leg_before is not null
    -- Who was let go and came back was with somebody else in between.
    and (ended_before_action is distinct from 'released' or started_action <> 'received')
    and (
        leg_before <> leg_number - 1
        or ended_before_event_id is distinct from started_event_id
        or ended_before_at is distinct from started_at
    )
