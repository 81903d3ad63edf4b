select
    {{ finding(
        "counted_unknown",
        case_number="checks.case_number",
        location_id="checks.location_id",
        occurred_at="checks.occurred_at",
        a="checks", feed_a="custody_events",
        detail="'Counted at ' || checks.location_id || coalesce(' ' || checks.counted_unit, '') || ' at ' || "
            ~ minute_text("checks.occurred_at_local") ~ " || ' (event ' || coalesce(checks.event_id, 'without a number')"
            ~ " || coalesce(', sheet ' || checks.document_number, '') || '), '"
            ~ " || coalesce('band ' || checks.band_number, 'no band read') || ': ' || case"
            ~ " when checks.case_number is null then 'no case has this band.'"
            ~ " else 'the band is of case ' || checks.case_number || ', which the record has '"
            ~ " || coalesce('at ' || checks.recorded_place_id, 'at none of our places') || '.' end || "
            ~ held_back_note("checks.is_held")
    ) }}
from {{ ref("int_count_checks") }} as checks
where checks.check_state = 'unknown'
