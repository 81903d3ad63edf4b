-- Late is what is late in every case: an unknown time of death counts at its latest, a filing with
-- a date alone at the start of its day. Another firm's cases are filed by that firm.
with filings as (
    select
        cases.case_number,
        cases.location_id,
        cases.file_id,
        cases.line,
        cases.is_held,
        cases.certificate_filed_date,
        limits.hours,
        limits.starts_at,
        limits.citation,
        limits.counts,
        cases.time_zone,
        {{ limit_starts("limits", "cases", "milestones", "death_latest_at") }} as starts_at_instant,
        coalesce(
            cases.certificate_filed_at,
            {{ utc_of_local("cast(cases.certificate_filed_date as timestamp)", "cases.time_zone") }},
            {{ as_of() }}
        ) as filed_at
    from {{ ref("int_cases") }} as cases
    left join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    left join {{ ref("stg_locations") }} as places
        on cases.location_id = places.location_id
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on {{ limit_holds("limits", "'certificate_filing'", "cases.jurisdiction", "places") }}
    where cases.case_status <> 'cancelled' and not cases.is_trade_call
)

select
    {{ finding(
        "certificate_filed_late",
        case_number="filings.case_number",
        location_id="filings.location_id",
        occurred_at="filings.filed_at",
        a="filings", feed_a="cases",
        measured_value=elapsed_hours("filings.starts_at_instant", "filings.filed_at"),
        limit_value="filings.hours",
        value_unit="hours",
        detail="case when filings.certificate_filed_date is null then 'The certificate is not filed yet, '"
            ~ " else 'The certificate was filed ' end || "
            ~ late_text("filings", "filings.starts_at_instant", "filings.filed_at", "filings.time_zone")
            ~ " || " ~ held_back_note("filings.is_held")
    ) }}
from filings
where filings.filed_at > {{ limit_ends("filings", "filings.starts_at_instant", "filings.time_zone") }}
