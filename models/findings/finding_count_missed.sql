with first_seen as (
    select
        location_id,
        document_number,
        event_id,
        file_id,
        line,
        row_number() over (partition by location_id, document_number order by occurred_at, line, file_id) as seen_number
    from {{ ref("int_count_checks") }}
    where check_state <> 'missed' and document_number is not null
)

select
    {{ finding(
        "count_missed",
        case_number="checks.case_number",
        location_id="checks.location_id",
        occurred_at="checks.occurred_at",
        a="checks", feed_a="custody_events",
        b="first_seen", feed_b="custody_events",
        detail="'Not seen in the count of ' || checks.location_id || ' that began at ' || "
            ~ minute_text("checks.occurred_at_local") ~ " || ' (sheet ' || checks.document_number"
            ~ " || ', first event ' || coalesce(first_seen.event_id, 'without a number')"
            ~ " || '); the record has the person there.' || " ~ held_back_note("checks.is_held")
    ) }}
from {{ ref("int_count_checks") }} as checks
inner join first_seen
    on
        checks.location_id = first_seen.location_id
        and checks.document_number = first_seen.document_number
        and first_seen.seen_number = 1
where checks.check_state = 'missed'
