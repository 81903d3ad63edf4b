with contradictions as (
    select
        events.case_number,
        events.event_id,
        events.action,
        events.occurred_at,
        events.occurred_at_local,
        events.is_held,
        events.file_id,
        events.line,
        records.sex_observed,
        row_number() over (partition by events.case_number order by events.event_number) as place_in_case
    from {{ ref("stg_custody_events") }} as records
    inner join {{ ref("int_custody_events") }} as events
        on records.file_id = events.file_id and records.line = events.line
    inner join {{ ref("int_cases") }} as cases
        on records.case_number = cases.case_number
    where
        records.sex_observed in ('F', 'M')
        and cases.sex in ('F', 'M')
        and records.sex_observed <> cases.sex
)

select
    {{ finding(
        "sex_contradicts",
        case_number="contradictions.case_number",
        location_id="cases.location_id",
        occurred_at="contradictions.occurred_at",
        a="contradictions", feed_a="custody_events",
        b="cases", feed_b="cases",
        detail="'Sex seen at ' || " ~ minute_text("contradictions.occurred_at_local") ~ " || ' ('"
            ~ " || replace(contradictions.action, '_', ' ') || ', event ' || contradictions.event_id || '): '"
            ~ " || contradictions.sex_observed || '; on the case: ' || cases.sex || '.' || "
            ~ held_back_note("contradictions.is_held or cases.is_held")
    ) }}
from contradictions
inner join {{ ref("int_cases") }} as cases
    on contradictions.case_number = cases.case_number
where contradictions.place_in_case = 1
