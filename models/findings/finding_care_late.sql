-- The law of the first place of ours that the person was brought to, else of the arranging home.
-- Embalming is care once it is finished; disposition ends the need, a cremation from its start on. How an
-- institution kept the person before us is not in our records: after one, the clock starts at receipt.
with stays as (
    {{ first_and_last_places(ref("int_place_stays")) }}
),

people as (
    select
        cases.case_number,
        cases.location_id,
        cases.time_zone,
        milestones.has_held_event or cases.is_held as is_held,
        events.file_id,
        events.line,
        events.event_id,
        limits.hours as limit_hours,
        limits.citation,
        limits.cremated_within_hours,
        milestones.cremation_started_at,
        records.from_party,
        {{ care_clock_starts("limits", "cases", "milestones", "records.from_party") }} as starts_at_instant,
        least(milestones.refrigerated_at, milestones.embalming_finished_at) as cared_at,
        least(
            milestones.refrigerated_at, milestones.embalming_finished_at, milestones.cremation_started_at,
            milestones.final_at, {{ as_of() }}
        ) as ends_at
    from {{ ref("int_cases") }} as cases
    inner join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    inner join {{ ref("int_custody_events") }} as events
        on
            milestones.case_number = events.case_number
            and milestones.received_at = events.occurred_at
            and events.action = 'received'
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    left join stays
        on cases.case_number = stays.case_number
    left join {{ ref("stg_locations") }} as places
        on stays.first_location_id = places.location_id
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on {{ limit_holds("limits", "'preservation'", "coalesce(places.jurisdiction, cases.jurisdiction)", "places") }}
)

select
    {{ finding(
        "care_late",
        case_number="people.case_number",
        location_id="people.location_id",
        occurred_at="people.ends_at",
        a="people", feed_a="custody_events",
        measured_value=elapsed_hours("people.starts_at_instant", "people.ends_at"),
        limit_value="people.limit_hours",
        value_unit="hours",
        detail="case when people.cared_at is null or people.cared_at > people.ends_at"
            ~ " then 'Not refrigerated or embalmed ' else 'Refrigerated or embalmed ' end || "
            ~ measured_text(elapsed_hours("people.starts_at_instant", "people.ends_at"), "people.limit_hours")
            ~ " || ' hours after the clock began at ' || " ~ minute_text(local_time("people.starts_at_instant", "people.time_zone"))
            ~ " || ' (received from ' || coalesce(people.from_party, 'nobody named')"
            ~ " || ': event ' || people.event_id || '); the limit is ' || " ~ quantity_text("people.limit_hours")
            ~ " || ' hours (' || people.citation || '; check with counsel or the licensing board).' || "
            ~ held_back_note("people.is_held")
    ) }}
from people
where
    people.ends_at > {{ add_hours("people.starts_at_instant", "people.limit_hours") }}
    -- A cremation soon enough needs no cold before it; until then the time for it may still run.
    and (
        people.cremated_within_hours is null
        or least(people.cremation_started_at, {{ as_of() }})
        > {{ add_hours("people.starts_at_instant", "people.cremated_within_hours") }}
    )
