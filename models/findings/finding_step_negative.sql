-- What may be made first is not told: an arrangement before the need, a permit that the registrar gives in the hours
-- before the certifier signs. Like every step that ends before it begins, they count in no average.
select
    {{ finding(
        "step_negative",
        case_number="steps.case_number",
        location_id="steps.location_id",
        occurred_at="steps.finished_at",
        a="cases", feed_a="cases",
        measured_value="steps.hours",
        limit_value="0",
        value_unit="hours",
        detail="steps.step_name || ': finished at ' || "
            ~ minute_text(local_time("steps.finished_at", "cases.time_zone"))
            ~ " || ', which is before its start at ' || "
            ~ minute_text(local_time("steps.started_at", "cases.time_zone")) ~ " || '.'"
    ) }}
from {{ ref("int_case_steps") }} as steps
inner join {{ ref("int_cases") }} as cases
    on steps.case_number = cases.case_number
where
    steps.step_state = 'negative'
    and coalesce(steps.step_code not in ('call_to_arrangement', 'certificate_to_permit'), true)
