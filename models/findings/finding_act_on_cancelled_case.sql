-- An embalming may come before the family goes to another firm; what ends a person's way may not.
with acts as (
    {{ first_acts() }}
)

select
    {{ finding(
        "act_on_cancelled_case",
        case_number="acts.case_number",
        location_id="cases.location_id",
        occurred_at="acts.occurred_at",
        a="acts", feed_a="custody_events",
        b="cases", feed_b="cases",
        detail=act_sentence("acts") ~ " || ', and the case is cancelled.' || "
            ~ held_back_note("acts.is_held or cases.is_held")
    ) }}
from acts
inner join {{ ref("int_cases") }} as cases
    on acts.case_number = cases.case_number
where cases.case_status = 'cancelled'
