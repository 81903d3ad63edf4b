{% set turns_of_case = "partition by case_number order by event_number" %}

with turns as (
    select
        case_number,
        event_id,
        party_id,
        place_id,
        storage_unit,
        action,
        occurred_at,
        occurred_at_local,
        is_held,
        file_id,
        line,
        cast(row_number() over ({{ turns_of_case }}) as integer) as leg_number,
        lead(action) over ({{ turns_of_case }}) as ended_action,
        lead(occurred_at) over ({{ turns_of_case }}) as ended_at,
        lead(event_id) over ({{ turns_of_case }}) as ended_event_id,
        lead(file_id) over ({{ turns_of_case }}) as ended_file_id,
        lead(line) over ({{ turns_of_case }}) as ended_line
    from {{ ref("int_custody_events") }}
    where is_turning_point
),

signatures as (
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
    where action in ('received', 'transferred')
)

select
    turns.case_number,
    turns.leg_number,
    turns.party_id,
    turns.place_id,
    turns.storage_unit,
    turns.action as started_action,
    turns.occurred_at as started_at,
    turns.occurred_at_local as started_at_local,
    turns.ended_action,
    turns.ended_at,
    {{ elapsed_minutes("turns.occurred_at", "turns.ended_at") }} as minutes,
    coalesce(signatures.handover, 'no handover') as handover,
    not turns.is_held as is_proven,
    turns.event_id as started_event_id,
    turns.file_id as started_file_id,
    turns.line as started_line,
    turns.ended_event_id,
    turns.ended_file_id,
    turns.ended_line
from turns
left join signatures
    on turns.file_id = signatures.file_id and turns.line = signatures.line
where turns.action not in {{ final_actions() }}
