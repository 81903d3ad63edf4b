with too_late as (
    {{ dated_after_export() }}
),

records as (
    -- Held records without an instant that can be true are in no chain, and still say that something is held back.
    select
        events.case_number,
        bool_or(events.is_held) as has_held_event
    from {{ ref("stg_custody_events") }} as events
    left join too_late
        on events.file_id = too_late.file_id and events.line = too_late.line
    where
        events.case_number is not null
        and (coalesce(events.occurred_at <= {{ as_of() }}, true) or too_late.line is not null)
    group by events.case_number
),

untimed as (
    -- Records without an instant that can be true place nobody; that the person is in care they say all the same.
    select
        events.case_number,
        events.file_id,
        events.line,
        count(*) over (partition by events.case_number) as untimed_count,
        max(
            case
                when events.action in {{ keeping_actions() }} and events.disc_number is not null then 0
                when events.action in {{ in_care_actions() }} then 1
                else 0
            end
        ) over (partition by events.case_number) as care_count,
        row_number() over (partition by events.case_number order by events.file_id, events.line) as place_in_case
    from {{ ref("stg_custody_events") }} as events
    left join too_late
        on events.file_id = too_late.file_id and events.line = too_late.line
    where
        events.is_held
        and events.case_number is not null
        and events.action is distinct from 'voided'
        and (events.occurred_at is null or too_late.line is not null)
        and not exists (
            select 1
            from {{ ref("stg_custody_events") }} as corrections
            where
                corrections.case_number = events.case_number
                and corrections.corrects_event_id = events.event_id
                and corrections.event_id <> events.event_id
        )
),

facts as (
    select
        case_number,
        min(
            case when action in {{ in_care_actions() }} and not coalesce(is_of_remains, false) then occurred_at end
        ) as in_care_since,
        min(case when action = 'received' then occurred_at end) as received_at,
        min(case when action = 'band_attached' then occurred_at end) as band_attached_at,
        min(
            case when action = 'identity_checked' and is_opened and not is_after_end then occurred_at end
        ) as identity_checked_at,
        min(case when action = 'refrigerated' and is_opened then occurred_at end) as refrigerated_at,
        min(case when action = 'embalming_started' then occurred_at end) as embalming_started_at,
        min(case when action = 'embalming_finished' then occurred_at end) as embalming_finished_at,
        min(case when action = 'cremation_started' then occurred_at end) as cremation_started_at,
        min(case when action = 'cremation_finished' then occurred_at end) as cremation_finished_at,
        min(case when action = 'remains_received' then occurred_at end) as remains_received_at,
        min(case when action in ('remains_released', 'remains_scattered') then occurred_at end) as remains_gone_at,
        -- Who came back after a release has no end, or a later one.
        case
            when
                coalesce(
                    max(case when is_return then event_number end)
                    > max(case when action in {{ final_actions() }} then event_number end),
                    false
                )
                then null
            else min(case when action in {{ final_actions() }} then event_number end)
        end as final_event_number,
        max(case when not is_after_end and action <> 'counted' then event_number end) as last_event_number,
        cast(count(*) as bigint) as event_count
    from {{ ref("int_custody_events") }}
    group by case_number
)

select
    records.case_number,
    records.has_held_event,
    coalesce(untimed.untimed_count, 0) as untimed_count,
    coalesce(untimed.care_count > 0, false) as has_untimed_care,
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
    coalesce(lasts.file_id, untimed.file_id) as last_file_id,
    coalesce(lasts.line, untimed.line) as last_line
from records
left join facts
    on records.case_number = facts.case_number
left join untimed
    on records.case_number = untimed.case_number and untimed.place_in_case = 1
left join {{ ref("int_custody_events") }} as lasts
    on facts.case_number = lasts.case_number and facts.last_event_number = lasts.event_number
