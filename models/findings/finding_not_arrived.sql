select
    {{ finding(
        "not_arrived",
        case_number="events.case_number",
        location_id="cases.location_id",
        occurred_at="events.occurred_at",
        a="events", feed_a="custody_events",
        measured_value=elapsed_hours("events.occurred_at", as_of()),
        limit_value=var("on_the_way_hours"),
        value_unit="hours",
        detail="'Left for the way at ' || " ~ minute_text("events.occurred_at_local") ~ " || ' (event ' || events.event_id"
            ~ " || '), in ' || coalesce(milestones.place_id, 'no vehicle that is named') || ', and arrived nowhere for '"
            ~ " || " ~ measured_text(elapsed_hours("events.occurred_at", as_of()), var("on_the_way_hours"))
            ~ " || ' hours.' || " ~ not_proven_note("milestones.has_held_event")
    ) }}
from {{ ref("int_case_milestones") }} as milestones
inner join {{ ref("int_custody_events") }} as events
    on
        milestones.case_number = events.case_number
        and milestones.last_at = events.occurred_at
        and milestones.last_action = events.action
left join {{ ref("int_cases") }} as cases
    on milestones.case_number = cases.case_number
where
    milestones.final_at is null
    and milestones.last_action = 'departed'
    and {{ as_of() }} > {{ add_hours("events.occurred_at", var("on_the_way_hours")) }}
