-- A lifting that was written down more than an hour after the act, though dated before it; or a hold that stood at the
-- act by its record and was voided after it. One is told per act and hold.
with first_holds as (
    select
        case_number,
        min(occurred_at) as occurred_at
    from {{ ref("int_custody_events") }}
    where action = 'hold_placed'
    group by case_number
),

endings as (
    select
        lifts.case_number,
        lifts.event_id,
        'the hold was lifted, by its date, at ' || {{ minute_text("lifts.occurred_at_local") }} || ' (event '
        || lifts.event_id || '), which' as how,
        true as is_lifting,
        records.recorded_at as written_at,
        placings.occurred_at as placed_at,
        lifts.occurred_at as ended_at,
        lifts.is_held,
        lifts.file_id,
        lifts.line,
        1 as copy_number
    from {{ ref("int_custody_events") }} as lifts
    inner join {{ ref("stg_custody_events") }} as records
        on lifts.file_id = records.file_id and lifts.line = records.line
    inner join first_holds as placings
        on lifts.case_number = placings.case_number and lifts.occurred_at >= placings.occurred_at
    where lifts.action = 'hold_lifted'

    union all

    select
        holds.case_number,
        corrections.event_id,
        'the hold placed at ' || {{ minute_text("holds.occurred_at_local") }} || ' (event ' || holds.event_id
        || ') was voided by event ' || corrections.event_id || ', which' as how,
        false as is_lifting,
        coalesce(corrections.recorded_at, corrections.occurred_at) as written_at,
        holds.occurred_at as placed_at,
        holds.occurred_at as ended_at,
        holds.is_held or corrections.is_held as is_held,
        corrections.file_id,
        corrections.line,
        -- Two contents of one number are both held back: told once.
        row_number() over (
            partition by holds.case_number, holds.event_id, corrections.event_id
            order by holds.file_id, holds.line, corrections.file_id, corrections.line
        ) as copy_number
    from {{ ref("stg_custody_events") }} as holds
    inner join {{ ref("stg_custody_events") }} as corrections
        on
            holds.case_number = corrections.case_number
            and holds.event_id = corrections.corrects_event_id
            and holds.event_id <> corrections.event_id
    where
        holds.action = 'hold_placed'
        and corrections.action = 'voided'
        and corrections.occurred_at <= {{ as_of() }}
),

acts as (
    -- Whoever placed the hold may fetch the person.
    select
        events.case_number,
        events.event_id,
        events.action,
        events.occurred_at,
        events.occurred_at_local,
        records.recorded_at,
        events.is_held,
        events.file_id,
        events.line,
        row_number() over (
            partition by events.case_number, {{ act_of("events.action") }} order by events.event_number
        ) as place_in_act
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    where
        events.case_number in (select endings.case_number from endings)
        and not events.is_after_end
        and (
            (events.action = 'released' and coalesce(events.party_id not like 'medical_examiner:%', true))
            or events.action in {{ embalming_actions() }}
            or events.action in {{ irreversible_actions() }}
        )
),

lifted_before as (
    select
        case_number,
        occurred_at
    from {{ ref("int_custody_events") }}
    where action = 'hold_lifted'
)

select
    {{ finding(
        "hold_ended_afterwards",
        case_number="acts.case_number",
        location_id="cases.location_id",
        occurred_at="acts.occurred_at",
        a="acts", feed_a="custody_events",
        b="endings", feed_b="custody_events",
        measured_value=elapsed_hours("acts.occurred_at", "endings.written_at"),
        value_unit="hours",
        detail=first_words("acts.action") ~ " || ' at ' || " ~ minute_text("acts.occurred_at_local") ~ " || ' (event '"
            ~ " || acts.event_id || '); ' || endings.how || ' was written down ' || " ~ number_text(elapsed_hours("acts.occurred_at", "endings.written_at"), 1)
            ~ " || ' hours after the act.' || " ~ held_back_note("acts.is_held or endings.is_held")
    ) }}
from acts
inner join endings
    on
        acts.case_number = endings.case_number
        and acts.occurred_at >= endings.ended_at
        and endings.written_at > {{ add_hours("acts.occurred_at", 1) }}
        -- What is written down in the evening, act and lifting together, says no more of the one than of the other.
        and endings.written_at > coalesce(acts.recorded_at, acts.occurred_at)
left join {{ ref("int_cases") }} as cases
    on acts.case_number = cases.case_number
where
    acts.place_in_act = 1
    and endings.copy_number = 1
    and (
        endings.is_lifting
        or not exists (
            select 1
            from lifted_before
            where
                lifted_before.case_number = acts.case_number
                and lifted_before.occurred_at between endings.placed_at and acts.occurred_at
        )
    )
