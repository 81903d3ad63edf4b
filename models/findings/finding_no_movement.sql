with last_numbers as (
    -- A count sees somebody; it neither moves nor reviews them.
    select
        case_number,
        max(event_number) as event_number
    from {{ ref("int_custody_events") }}
    where action <> 'counted'
    group by case_number
),

waiting as (
    select
        milestones.case_number,
        milestones.place_id,
        events.event_id,
        events.action,
        events.occurred_at,
        events.occurred_at_local,
        {{ elapsed_hours("events.occurred_at", as_of()) }} / 24.0 as days,
        milestones.has_held_event,
        events.file_id,
        events.line
    from {{ ref("int_case_milestones") }} as milestones
    inner join last_numbers
        on milestones.case_number = last_numbers.case_number
    inner join {{ ref("int_custody_events") }} as events
        on last_numbers.case_number = events.case_number and last_numbers.event_number = events.event_number
    where milestones.in_care_since is not null and milestones.final_at is null
)

select
    {{ finding(
        "no_movement",
        case_number="waiting.case_number",
        location_id="coalesce(locations.location_id, cases.location_id)",
        occurred_at="waiting.occurred_at",
        a="waiting", feed_a="custody_events",
        measured_value="waiting.days",
        limit_value=var("no_movement_days"),
        value_unit="days",
        detail="'Nobody moved or reviewed the person for ' || " ~ measured_text("waiting.days", var("no_movement_days"))
            ~ " || ' days, since ' || " ~ minute_text("waiting.occurred_at_local")
            ~ " || ' (' || replace(waiting.action, '_', ' ') || ', event ' || waiting.event_id || ').' || "
            ~ held_back_note("waiting.has_held_event")
    ) }}
from waiting
left join {{ ref("stg_locations") }} as locations
    on waiting.place_id = locations.location_id
left join {{ ref("int_cases") }} as cases
    on waiting.case_number = cases.case_number
where waiting.days > {{ var("no_movement_days") }}
