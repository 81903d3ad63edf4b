{% set events_of_case = "partition by case_number order by occurred_at, recorded_at nulls last, event_id" %}
{% set ends = "case when action in " ~ final_actions() ~ " then true end" %}

with superseded as (
    -- A mistake is corrected by a new event that names it; both stay on the record, one counts.
    select distinct
        case_number,
        corrects_event_id as event_id
    from {{ ref("stg_custody_events") }}
    where corrects_event_id is not null and corrects_event_id <> event_id
),

second_copies as (
    -- Two contents of one number are both held back: the event counts once.
    select
        file_id,
        line
    from (
        select
            file_id,
            line,
            row_number() over (partition by case_number, event_id order by file_id, line) as copy_number
        from {{ ref("stg_custody_events") }}
        where is_held and event_id is not null
    ) as copies
    where copy_number > 1
),

too_late as (
    {{ dated_after_export() }}
),

crematories as (
    -- A location held back is still the place it says it is: the contract of chains reads both.
    select location_id
    from {{ ref("stg_locations") }}
    where location_kind = 'crematory'

    union

    select location_id
    from {{ ref("stg_held_locations") }}
    where location_kind = 'crematory'
),

effective as (
    select
        events.case_number,
        coalesce(events.event_id, 'of line ' || cast(events.line as varchar)) as event_id,
        events.occurred_at,
        events.occurred_at_local,
        events.recorded_at,
        events.action,
        events.from_party,
        events.to_party,
        events.place_id,
        events.storage_unit,
        events.disc_number,
        events.is_held,
        events.file_id,
        events.line,
        -- A physical count says where somebody was seen: it never moves the record.
        case when events.action <> 'counted' then coalesce(events.to_party, events.from_party) end as party_set,
        case when events.action <> 'counted' then events.place_id end as place_set,
        case when events.action <> 'counted' and events.place_id is not null then events.occurred_at end as placed_at,
        -- When the person was last stored, if nothing but counts came since.
        case
            when events.action = 'stored' then events.occurred_at
            when events.action <> 'counted' then timestamp '0001-01-01 00:00:00'
        end as stored_at,
        case
            when events.action in ('stored', 'cremation_started') then coalesce(events.storage_unit, '')
            when events.action in {{ unit_leaving_actions() }} then ''
        end as unit_set
    from {{ ref("stg_custody_events") }} as events
    left join superseded
        on events.case_number = superseded.case_number and events.event_id = superseded.event_id
    left join second_copies
        on events.file_id = second_copies.file_id and events.line = second_copies.line
    left join too_late
        on events.file_id = too_late.file_id and events.line = too_late.line
    -- What happens after the as-of instant has put nobody anywhere yet.
    where
        superseded.event_id is null
        and second_copies.line is null
        and too_late.line is null
        and events.case_number is not null
        and events.occurred_at <= {{ as_of() }}
        and events.action <> 'voided'
),

states as (
    select
        case_number,
        cast(row_number() over ({{ events_of_case }}) as integer) as event_number,
        event_id,
        occurred_at,
        occurred_at_local,
        action,
        from_party,
        to_party,
        place_id as place_given,
        storage_unit as unit_given,
        disc_number,
        {{ carried_forward("stored_at", events_of_case, "1 preceding") }} as stored_before_at,
        {{ carried_forward("placed_at", events_of_case, "1 preceding") }} as placed_before_at,
        {{ carried_forward("party_set", events_of_case, "1 preceding") }} as party_before,
        {{ carried_forward("party_set", events_of_case) }} as party_id,
        {{ carried_forward("place_set", events_of_case, "1 preceding") }} as place_before,
        {{ carried_forward("place_set", events_of_case) }} as place_id,
        nullif({{ carried_forward("unit_set", events_of_case, "1 preceding") }}, '') as unit_before,
        nullif({{ carried_forward("unit_set", events_of_case) }}, '') as storage_unit,
        coalesce(
            {{ carried_forward("case when action = 'received' then true end", events_of_case, "1 preceding") }}, false
        ) as was_opened,
        coalesce(
            {{ carried_forward(
                "case when action in " ~ in_care_actions() ~ " then true end", events_of_case, "1 preceding"
            ) }},
            false
        ) as was_in_care,
        coalesce({{ carried_forward(ends, events_of_case, "1 preceding") }}, false) as is_after_end,
        is_held,
        file_id,
        line
    from effective
)

select
    states.case_number,
    states.event_number,
    states.event_id,
    states.occurred_at,
    states.occurred_at_local,
    states.action,
    states.party_id,
    states.place_id,
    states.storage_unit,
    states.was_opened or states.action = 'received' as is_opened,
    states.is_after_end,
    (states.was_in_care or states.action in {{ in_care_actions() }})
    and not states.is_after_end
    and (
        not states.was_in_care
        or states.action in {{ final_actions() }}
        or states.party_id is distinct from states.party_before
        or states.place_id is distinct from states.place_before
        or states.storage_unit is distinct from states.unit_before
    ) as is_turning_point,
    case
        when states.action = 'counted' then null
        when not states.was_opened and states.action <> 'received'
            then case when states.action not in {{ opening_actions() }} then 'not opened' end
        when states.is_after_end
            then
                case
                    when states.action in {{ remains_actions() }} and states.disc_number is not null then null
                    when states.action in ('effects_listed', 'effects_returned', 'reviewed') then null
                    else 'after disposition'
                end
        when {{ is_party_break("states") }} then 'party'
        when {{ is_place_break("states", "crematories") }}
            then case when states.placed_before_at = states.occurred_at then 'time' else 'place' end
        when
            states.action = 'stored'
            and states.stored_before_at = states.occurred_at
            and states.unit_before <> states.unit_given
            then 'time'
    end as break_kind,
    states.is_held,
    states.file_id,
    states.line
from states
left join crematories
    on states.place_before = crematories.location_id
