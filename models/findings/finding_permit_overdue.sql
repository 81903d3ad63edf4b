-- The law of the place of disposition, as far as it is one of ours, else of the arranging home. Late is what is
-- late in every case: an unknown time of death counts at its latest, a date alone from the start of its day.
with stays as (
    {{ first_and_last_places(ref("int_place_stays")) }}
),

permits as (
    select
        cases.case_number,
        cases.location_id,
        cases.file_id,
        cases.line,
        cases.is_held,
        cases.permit_issued_at is null and cases.permit_issued_date is null as is_outstanding,
        limits.hours,
        limits.counts,
        coalesce(places.time_zone, cases.time_zone) as time_zone,
        limits.starts_at,
        limits.citation,
        {{ limit_starts("limits", "cases", "milestones", "death_latest_at") }} as starts_at_instant,
        coalesce(
            cases.permit_issued_at,
            {{ utc_of_local("cast(cases.permit_issued_date as timestamp)", "cases.time_zone") }},
            milestones.final_at,
            {{ as_of() }}
        ) as issued_at
    from {{ ref("int_cases") }} as cases
    inner join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    left join stays
        on cases.case_number = stays.case_number
    left join {{ ref("stg_locations") }} as places
        on stays.last_location_id = places.location_id
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on {{ limit_holds("limits", "'permit_within'", "coalesce(places.jurisdiction, cases.jurisdiction)", "places") }}
    where cases.case_status <> 'cancelled' and not cases.is_trade_call and milestones.in_care_since is not null
)

select
    {{ finding(
        "permit_overdue",
        case_number="permits.case_number",
        location_id="permits.location_id",
        occurred_at=limit_ends("permits", "permits.starts_at_instant", "permits.time_zone"),
        a="permits", feed_a="cases",
        measured_value=elapsed_hours("permits.starts_at_instant", "permits.issued_at"),
        limit_value="permits.hours",
        value_unit="hours",
        detail="case when permits.is_outstanding then 'No permit is on the case, ' else 'The permit was issued ' end || "
            ~ late_text("permits", "permits.starts_at_instant", "permits.issued_at", "permits.time_zone")
            ~ " || " ~ held_back_note("permits.is_held")
    ) }}
from permits
where permits.issued_at > {{ limit_ends("permits", "permits.starts_at_instant", "permits.time_zone") }}
