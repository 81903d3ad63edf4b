-- People with the same vehicle and the same instant of departure travelled together.
with departures as (
    select
        events.case_number,
        events.event_id,
        events.occurred_at,
        events.occurred_at_local,
        events.place_id as vehicle,
        events.is_held,
        events.file_id,
        events.line,
        records.band_number is null
        and coalesce(milestones.band_attached_at > events.occurred_at, true) as is_unbanded
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    left join {{ ref("int_case_milestones") }} as milestones
        on events.case_number = milestones.case_number
    where events.action = 'departed' and records.action = 'departed' and events.place_id like 'vehicle:%'
),

trips as (
    select
        *,
        count(*) over (partition by vehicle, occurred_at) as travellers,
        coalesce(
            lag(case_number) over (partition by vehicle, occurred_at order by case_number, event_id),
            lead(case_number) over (partition by vehicle, occurred_at order by case_number, event_id)
        ) as fellow_case_number,
        coalesce(
            lag(event_id) over (partition by vehicle, occurred_at order by case_number, event_id),
            lead(event_id) over (partition by vehicle, occurred_at order by case_number, event_id)
        ) as fellow_event_id
    from departures
)

select
    {{ finding(
        "moved_together_unbanded",
        case_number="trips.case_number",
        location_id="cases.location_id",
        occurred_at="trips.occurred_at",
        a="trips", feed_a="custody_events",
        b="fellows", feed_b="custody_events",
        measured_value="trips.travellers",
        limit_value="1",
        value_unit="people",
        detail="'Left in ' || trips.vehicle || ' at ' || " ~ minute_text("trips.occurred_at_local")
            ~ " || ' (event ' || trips.event_id || ') without a band, together with ' || trips.fellow_case_number"
            ~ " || ' (' || " ~ number_text("trips.travellers", 0) ~ " || ' people in the vehicle).' || "
            ~ not_proven_note("trips.is_held")
    ) }}
from trips
left join departures as fellows
    on
        trips.fellow_case_number = fellows.case_number
        and trips.fellow_event_id = fellows.event_id
left join {{ ref("int_cases") }} as cases
    on trips.case_number = cases.case_number
where trips.is_unbanded and trips.travellers > 1 and trips.fellow_case_number <> trips.case_number
