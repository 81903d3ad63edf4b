{% set events_of_case = "partition by case_number order by event_number" %}

with held_cases as (
    select distinct case_number
    from {{ ref("int_custody_events") }}
    where action = 'hold_placed'
),

summed as (
    select
        case_number,
        event_number,
        event_id,
        action,
        party_id,
        place_id,
        occurred_at,
        occurred_at_local,
        {{ holds_summed(events_of_case) }} as holds_sum,
        row_number() over (
            partition by case_number, {{ act_of("action") }} order by event_number
        ) as event_of_act,
        max(case when action = 'hold_placed' then event_number end)
            over ({{ events_of_case }} rows between unbounded preceding and current row) as hold_event_number,
        is_held,
        file_id,
        line
    from {{ ref("int_custody_events") }}
    where
        case_number in (select held_cases.case_number from held_cases)
        and (
            action in ('hold_placed', 'hold_lifted', 'released')
            or action in {{ embalming_actions() }}
            or action in {{ irreversible_actions() }}
            or action in ('remains_released', 'remains_scattered')
        )
),

events as (
    select
        *,
        {{ holds_standing("holds_sum", events_of_case) }} as holds,
        max(
            case
                when action in ('hold_placed', 'hold_lifted', 'remains_released', 'remains_scattered') then null
                when event_of_act = 1 or action not in ('cremation_finished', 'embalming_finished') then event_number
            end
        ) over ({{ events_of_case }} rows between unbounded preceding and 1 preceding) as act_before_number
    from summed
)

select
    {{ finding(
        "act_during_hold",
        case_number="acts.case_number",
        location_id="cases.location_id",
        occurred_at="acts.occurred_at",
        a="acts", feed_a="custody_events",
        b="placings", feed_b="custody_events",
        measured_value=elapsed_hours("placings.occurred_at", "acts.occurred_at"),
        value_unit="hours",
        detail=first_words("acts.action") ~ " || ' at ' || " ~ minute_text("acts.occurred_at_local") ~ " || ' (event '"
            ~ " || acts.event_id || ') while the hold placed at ' || " ~ minute_text("placings.occurred_at_local")
            ~ " || ' (event ' || placings.event_id || ') had not been lifted.' || "
            ~ held_back_note("acts.is_held")
    ) }}
from events as acts
inner join events as placings
    on acts.case_number = placings.case_number and acts.hold_event_number = placings.event_number
left join {{ ref("stg_custody_events") }} as records
    on acts.action = 'remains_released' and acts.file_id = records.file_id and acts.line = records.line
left join {{ ref("stg_locations") }} as own_places
    on records.to_party = own_places.location_id
left join {{ ref("int_cases") }} as cases
    on acts.case_number = cases.case_number
where
    acts.holds > 0
    and acts.action not in ('hold_placed', 'hold_lifted')
    -- Whoever placed the hold may fetch the person.
    and not (acts.action = 'released' and coalesce(acts.party_id like 'medical_examiner:%', false))
    -- Begun before the hold, or told by the beginning.
    and (acts.event_of_act = 1 or acts.action not in ('cremation_finished', 'embalming_finished'))
    -- Handed from one place of ours to another, remains only move. A hold that stood at an act on the person is told
    -- there.
    and own_places.location_id is null
    and (
        acts.action not in ('remains_released', 'remains_scattered')
        or coalesce(acts.act_before_number < acts.hold_event_number, true)
    )
