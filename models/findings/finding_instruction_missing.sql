with acts as (
    {{ first_acts() }}
)

select
    {{ finding(
        "instruction_missing",
        case_number="acts.case_number",
        location_id="cases.location_id",
        occurred_at="acts.occurred_at",
        a="acts", feed_a="custody_events",
        b="cases", feed_b="cases",
        detail=act_sentence("acts") ~ " || ', and the case names neither a disposition nor an instruction of the family.' || "
            ~ held_back_note("acts.is_held or cases.is_held")
    ) }}
from acts
inner join {{ ref("int_cases") }} as cases
    on acts.case_number = cases.case_number
where
    coalesce(cases.disposition_code, 'U') = 'U'
    and cases.disposition_instruction is null
    and not cases.is_trade_call
    and cases.case_status <> 'cancelled'
    -- Where no export has the column, the rule is not checked; it tells nothing of anybody.
    and not exists (
        select 1
        from {{ source("quality", "rule_needs") }} as needs
        where needs.rule_code = 'instruction_missing' and not needs.is_available
    )
