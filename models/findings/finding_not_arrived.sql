-- By where the record has the person: what is written down meanwhile, a review or a hold, moves nobody.
with departures as (
    select
        case_number,
        max(event_number) as event_number
    from {{ ref("int_custody_events") }}
    where action = 'departed' and not is_after_end
    group by case_number
)

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
            ~ " || '), in ' || milestones.place_id || ', and arrived nowhere for '"
            ~ " || " ~ measured_text(elapsed_hours("events.occurred_at", as_of()), var("on_the_way_hours"))
            ~ " || ' hours.' || " ~ held_back_note("milestones.has_held_event")
    ) }}
from {{ ref("int_case_milestones") }} as milestones
inner join departures
    on milestones.case_number = departures.case_number
inner join {{ ref("int_custody_events") }} as events
    on departures.case_number = events.case_number and departures.event_number = events.event_number
left join {{ ref("int_cases") }} as cases
    on milestones.case_number = cases.case_number
where
    milestones.final_at is null
    and milestones.place_id like 'vehicle:%'
    and {{ as_of() }} > {{ add_hours("events.occurred_at", var("on_the_way_hours")) }}
