with records as (
    -- Held records without an instant are in no chain, and still say that something is held back.
    select
        case_number,
        bool_or(is_held) as has_held_event
    from {{ ref("stg_custody_events") }}
    where case_number is not null
    group by case_number
),

facts as (
    select
        case_number,
        min(case when action in {{ in_care_actions() }} then occurred_at end) as in_care_since,
        min(case when action = 'received' then occurred_at end) as received_at,
        min(case when action = 'band_attached' then occurred_at end) as band_attached_at,
        min(case when action = 'identity_checked' and is_opened then occurred_at end) as identity_checked_at,
        min(case when action = 'refrigerated' and is_opened then occurred_at end) as refrigerated_at,
        min(case when action = 'embalming_started' then occurred_at end) as embalming_started_at,
        min(case when action = 'embalming_finished' then occurred_at end) as embalming_finished_at,
        min(case when action = 'cremation_started' then occurred_at end) as cremation_started_at,
        min(case when action = 'cremation_finished' then occurred_at end) as cremation_finished_at,
        min(case when action = 'remains_received' then occurred_at end) as remains_received_at,
        min(case when action in ('remains_released', 'remains_scattered') then occurred_at end) as remains_gone_at,
        min(case when action in {{ final_actions() }} then event_number end) as final_event_number,
        max(case when not is_after_end and action <> 'counted' then event_number end) as last_event_number,
        cast(count(*) as bigint) as event_count
    from {{ ref("int_custody_events") }}
    group by case_number
)

select
    records.case_number,
    records.has_held_event,
    facts.in_care_since,
    facts.received_at,
    facts.band_attached_at,
    facts.identity_checked_at,
    facts.refrigerated_at,
    facts.embalming_started_at,
    facts.embalming_finished_at,
    facts.cremation_started_at,
    facts.cremation_finished_at,
    facts.remains_received_at,
    facts.remains_gone_at,
    coalesce(facts.event_count, 0) as event_count,
    case when facts.final_event_number is not null then lasts.action end as final_action,
    case when facts.final_event_number is not null then lasts.occurred_at end as final_at,
    lasts.action as last_action,
    lasts.occurred_at as last_at,
    lasts.party_id,
    lasts.place_id,
    lasts.storage_unit,
    lasts.file_id as last_file_id,
    lasts.line as last_line
from records
left join facts
    on records.case_number = facts.case_number
left join {{ ref("int_custody_events") }} as lasts
    on facts.case_number = lasts.case_number and facts.last_event_number = lasts.event_number
