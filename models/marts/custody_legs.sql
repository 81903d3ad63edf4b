{% set turns_of_case = "partition by events.case_number order by events.event_number" %}

with signatures as (
    -- Who signed at a handover: both sides, one or nobody.
    select
        file_id,
        line,
        case
            when released_by is not null and received_by is not null then 'both'
            when released_by is null and received_by is null then 'none'
            else 'one'
        end as handover
    from {{ ref("stg_custody_events") }}
    where action in ('received', 'transferred', 'released')
),

turns as (
    select
        events.case_number,
        events.event_id,
        events.party_id,
        events.place_id,
        events.storage_unit,
        events.action,
        events.occurred_at,
        events.occurred_at_local,
        coalesce(signatures.handover, 'no handover') as handover,
        events.is_held,
        events.file_id,
        events.line,
        cast(row_number() over ({{ turns_of_case }}) as integer) as leg_number,
        lead(events.action) over ({{ turns_of_case }}) as ended_action,
        lead(events.occurred_at) over ({{ turns_of_case }}) as ended_at,
        lead(events.party_id) over ({{ turns_of_case }}) as ended_party_id,
        lead(signatures.handover) over ({{ turns_of_case }}) as ended_handover,
        lead(events.event_id) over ({{ turns_of_case }}) as ended_event_id,
        lead(events.file_id) over ({{ turns_of_case }}) as ended_file_id,
        lead(events.line) over ({{ turns_of_case }}) as ended_line
    from {{ ref("int_custody_events") }} as events
    -- Joined here, not to the finished legs: an engine then hashes the few signatures, not the many legs.
    left join signatures
        on events.file_id = signatures.file_id and events.line = signatures.line
    where events.is_turning_point
)

select
    case_number,
    leg_number,
    party_id,
    place_id,
    storage_unit,
    action as started_action,
    occurred_at as started_at,
    occurred_at_local as started_at_local,
    ended_action,
    ended_at,
    case when ended_action = 'released' then ended_party_id end as released_to,
    case when ended_action = 'released' then ended_handover end as release_handover,
    {{ elapsed_minutes("occurred_at", "ended_at") }} as minutes,
    handover,
    not is_held as is_proven,
    event_id as started_event_id,
    file_id as started_file_id,
    line as started_line,
    ended_event_id,
    ended_file_id,
    ended_line
from turns
where action not in {{ final_actions() }}
