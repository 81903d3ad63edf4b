with acts as (
    {{ first_acts() }}
)

select
    {{ finding(
        "unidentified_cremated",
        case_number="acts.case_number",
        location_id="cases.location_id",
        occurred_at="acts.occurred_at",
        a="acts", feed_a="custody_events",
        b="cases", feed_b="cases",
        detail=act_sentence("acts") ~ " || ', and the case says that nobody knows who the person is.' || "
            ~ held_back_note("acts.is_held or cases.is_held")
    ) }}
from acts
inner join {{ ref("int_cases") }} as cases
    on acts.case_number = cases.case_number
where cases.is_unidentified and acts.action in ('cremation_started', 'cremation_finished')
