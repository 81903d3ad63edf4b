{% set events_of_case = "partition by case_number order by occurred_at, recorded_at nulls last, event_id" %}
{#
    Who was let go can come back; who was buried or cremated cannot. A receipt after the release is a break of the chain,
    and the person is here all the same.
#}
{% set ends = "case when action in " ~ final_actions() ~ " and action <> 'released' then true end" %}
{% set lets_go = "case action when 'released' then true when 'received' then false end" %}
{% set gives_remains -%}
case when action = 'cremation_finished' or action in {{ remains_actions() }} then true end
{%- endset %}
{#
    Cremated remains that somebody from outside brought, where no event is of the person: they open a chain of their own.
#}
{% set brings -%}
case when action = 'remains_received' and disc_number is not null and from_party like '%:%' then true end
{%- endset %}
{% set of_person -%}
case
    when action in {{ remains_actions() }} or action in {{ aside_actions() }} or action = 'counted' then 0
    when action in {{ keeping_actions() }} and disc_number is not null then 0
    else 1
end
{%- endset %}
{#
    What an event says of where the person is. A count says where somebody was seen: it never moves the record.
    Expressions, not columns: whatever column a window is given goes through its sort.
#}
{% set party_set = "case when action <> 'counted' then coalesce(to_party, from_party) end" %}
{% set place_set = "case when action <> 'counted' then place_given end" %}
{% set placed_at = "case when action <> 'counted' and place_given is not null then occurred_at end" %}
{# When the person was last stored, if nothing but counts came since. #}
{% set stored_at -%}
case when action = 'stored' then occurred_at when action <> 'counted' then timestamp '0001-01-01 00:00:00' end
{%- endset %}
{% set unit_set -%}
case
    when action in ('stored', 'cremation_started') then coalesce(unit_given, '')
    when action in {{ unit_leaving_actions() }} then ''
end
{%- endset %}

with superseded as (
    -- A mistake is corrected by a new event that names it; both stay on the record, one counts.
    select
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
),

effective as (
    select
        case_number,
        coalesce(event_id, 'of line ' || cast(line as varchar)) as event_id,
        occurred_at,
        occurred_at_local,
        recorded_at,
        action,
        from_party,
        to_party,
        place_id as place_given,
        storage_unit as unit_given,
        disc_number,
        is_held,
        file_id,
        line
    from {{ ref("stg_custody_events") }} as events
    -- What happens after the as-of instant has put nobody anywhere yet.
    where
        case_number is not null
        and occurred_at <= {{ as_of() }}
        and action <> 'voided'
        and not exists (
            select 1
            from superseded
            where superseded.case_number = events.case_number and superseded.event_id = events.event_id
        )
        and not exists (
            select 1
            from second_copies
            where second_copies.file_id = events.file_id and second_copies.line = events.line
        )
        and not exists (
            select 1
            from too_late
            where too_late.file_id = events.file_id and too_late.line = events.line
        )
),

carried as (
    select
        case_number,
        cast(row_number() over ({{ events_of_case }}) as integer) as event_number,
        event_id,
        occurred_at,
        occurred_at_local,
        action,
        from_party,
        to_party,
        place_given,
        unit_given,
        disc_number,
        {{ party_set }} as party_set,
        {{ place_set }} as place_set,
        {{ unit_set }} as unit_set,
        {{ carried_forward(stored_at, events_of_case, "1 preceding") }} as stored_before_at,
        {{ carried_forward(placed_at, events_of_case, "1 preceding") }} as placed_before_at,
        {{ carried_forward(party_set, events_of_case, "1 preceding") }} as party_before,
        {{ carried_forward(place_set, events_of_case, "1 preceding") }} as place_before,
        {{ carried_forward(unit_set, events_of_case, "1 preceding") }} as unit_carried,
        coalesce(
            {{ carried_forward("case when action = 'received' then true end", events_of_case, "1 preceding") }}, false
        ) as was_opened,
        coalesce(
            {{ carried_forward(
                "case when action in " ~ in_care_actions() ~ " then true end", events_of_case, "1 preceding"
            ) }},
            false
        ) as was_in_care,
        coalesce({{ carried_forward(ends, events_of_case, "1 preceding") }}, false) as is_ended_before,
        coalesce({{ carried_forward(lets_go, events_of_case, "1 preceding") }}, false) as is_let_go_before,
        max({{ of_person }}) over (
            {{ events_of_case }} rows between unbounded preceding and unbounded following
        ) = 1 as has_person,
        coalesce({{ carried_forward(brings, events_of_case) }}, false) as is_brought,
        coalesce({{ carried_forward(gives_remains, events_of_case, "1 preceding") }}, false) as has_remains_before,
        is_held,
        file_id,
        line
    from effective
),

states as (
    select
        *,
        not is_ended_before and is_let_go_before and action = 'received' as is_return,
        is_brought and not has_person as is_remains_alone,
        is_ended_before
        or (is_let_go_before and action <> 'received')
        or (is_brought and not has_person) as is_after_end,
        disc_number is not null
        and (action in {{ remains_actions() }} or (action in {{ keeping_actions() }} and has_remains_before))
            as is_of_remains,
        coalesce(party_set, party_before) as party_id,
        coalesce(place_set, place_before) as place_id,
        nullif(unit_carried, '') as unit_before,
        nullif(coalesce(unit_set, unit_carried), '') as storage_unit
    from carried
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
    states.is_after_end and states.is_of_remains as is_of_remains,
    states.is_remains_alone,
    states.is_return,
    (states.was_in_care or states.action in {{ in_care_actions() }})
    and not states.is_after_end
    and (
        not states.was_in_care
        or states.is_return
        or states.action in {{ final_actions() }}
        or states.party_id is distinct from states.party_before
        or states.place_id is distinct from states.place_before
        or states.storage_unit is distinct from states.unit_before
    ) as is_turning_point,
    case
        when states.action = 'counted' then null
        when not states.was_opened and states.action <> 'received' and not states.is_remains_alone
            then case when states.action not in {{ opening_actions() }} then 'not opened' end
        when states.is_return then 'after disposition'
        when states.is_after_end
            then
                case
                    when states.is_of_remains then null
                    when states.action in {{ aside_actions() }} then null
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
    -- Only being stored moves anybody to a unit: whatever else names another one contradicts it.
    coalesce(
        states.unit_given <> states.unit_before
        and states.action not in ('stored', 'cremation_started', 'counted')
        and not states.is_after_end,
        false
    ) as is_unit_contradicted,
    states.is_held,
    states.file_id,
    states.line
from states
left join crematories
    on states.place_before = crematories.location_id
