-- The law of the place where the person is, or was last; outside our places that of the arranging home.
with stays as (
    {{ first_and_last_places(ref("int_place_stays")) }}
),

people as (
    select
        cases.case_number,
        coalesce(stays.last_location_id, cases.location_id) as location_id,
        coalesce(milestones.has_held_event, false) or cases.is_held as is_held,
        milestones.last_file_id as file_id,
        milestones.last_line as line,
        cases.file_id as case_file_id,
        cases.line as case_line,
        milestones.final_at,
        limits.hours,
        limits.counts,
        coalesce(places.time_zone, cases.time_zone) as time_zone,
        limits.starts_at,
        limits.citation,
        {{ limit_starts("limits", "cases", "milestones", "death_latest_at") }} as starts_at_instant,
        coalesce(milestones.final_at, {{ as_of() }}) as ends_at
    from {{ ref("int_cases") }} as cases
    inner join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    left join stays
        on cases.case_number = stays.case_number
    left join {{ ref("stg_locations") }} as places
        on stays.last_location_id = places.location_id
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on {{ limit_holds("limits", "'holding'", "coalesce(places.jurisdiction, cases.jurisdiction)", "places") }}
    where milestones.in_care_since is not null
)

select
    {{ finding(
        "held_too_long",
        case_number="people.case_number",
        location_id="people.location_id",
        occurred_at=limit_ends("people", "people.starts_at_instant", "people.time_zone"),
        a="people", feed_a="custody_events",
        b="people", feed_b="cases", file_id_b="case_file_id", line_b="case_line",
        measured_value=elapsed_hours("people.starts_at_instant", "people.ends_at"),
        limit_value="people.hours",
        value_unit="hours",
        detail="case when people.final_at is null then 'Still without final disposition, ' else 'Final disposition came ' end"
            ~ " || " ~ late_text("people", "people.starts_at_instant", "people.ends_at", "people.time_zone")
            ~ " || " ~ held_back_note("people.is_held")
    ) }}
from people
where people.ends_at > {{ limit_ends("people", "people.starts_at_instant", "people.time_zone") }}
