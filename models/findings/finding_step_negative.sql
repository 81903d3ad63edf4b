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
where steps.step_state = 'negative'
