-- People with the same vehicle and the same instant of departure travelled together.
with departures as (
    select
        case_number,
        event_id,
        occurred_at,
        occurred_at_local,
        place_id as vehicle,
        is_held,
        file_id,
        line
    from {{ ref("int_custody_events") }}
    where action = 'departed' and place_id like 'vehicle:%'
),

unbanded as (
    -- Few leave without a band: find them first, then look at who left with them.
    select
        departures.vehicle,
        departures.occurred_at,
        departures.file_id,
        departures.line
    from departures
    inner join {{ ref("stg_custody_events") }} as records
        on departures.file_id = records.file_id and departures.line = records.line
    left join {{ ref("int_case_milestones") }} as milestones
        on departures.case_number = milestones.case_number
    where
        records.action = 'departed'
        and records.band_number is null
        and coalesce(milestones.band_attached_at > departures.occurred_at, true)
),

departures_with_unbanded as (
    select *
    from departures
    where
        exists (
            select 1
            from unbanded
            where unbanded.vehicle = departures.vehicle and unbanded.occurred_at = departures.occurred_at
        )
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
    from departures_with_unbanded
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
            ~ held_back_note("trips.is_held")
    ) }}
from trips
inner join unbanded
    on trips.file_id = unbanded.file_id and trips.line = unbanded.line
left join trips as fellows
    on
        trips.fellow_case_number = fellows.case_number
        and trips.fellow_event_id = fellows.event_id
left join {{ ref("int_cases") }} as cases
    on trips.case_number = cases.case_number
where trips.travellers > 1 and trips.fellow_case_number <> trips.case_number
