with acts as (
    select
        case_number,
        event_number,
        event_id,
        occurred_at,
        occurred_at_local,
        action,
        case
            when action in ('cremation_started', 'cremation_finished') then 'cremated'
            when action = 'remains_scattered' then 'scattered'
            else action
        end as act,
        is_held,
        file_id,
        line
    from {{ ref("int_custody_events") }}
    where
        (action in ('cremation_started', 'cremation_finished', 'buried', 'entombed') and not is_after_end)
        or action = 'remains_scattered'
),

contradictions as (
    select
        acts.*,
        row_number() over (partition by acts.case_number order by acts.event_number) as place_in_case
    from acts
    inner join {{ ref("int_cases") }} as cases
        on acts.case_number = cases.case_number
    where
        coalesce(
            case acts.act
                when 'cremated' then cases.disposition_code in ('B', 'D', 'E', 'R')
                when 'buried' then cases.disposition_code in ('C', 'D', 'E')
                when 'entombed' then cases.disposition_code in ('B', 'C', 'D')
            end,
            false
        )
        or coalesce(
            case acts.act
                when 'cremated' then cases.disposition_instruction in ('bury', 'donate', 'entomb', 'ship')
                when 'buried'
                    then
                        cases.disposition_instruction in (
                            'cremate_collect', 'cremate_inter', 'cremate_scatter', 'donate', 'entomb'
                        )
                when 'entombed'
                    then
                        cases.disposition_instruction in (
                            'bury', 'cremate_collect', 'cremate_inter', 'cremate_scatter', 'donate'
                        )
                when 'scattered' then cases.disposition_instruction in ('cremate_collect', 'cremate_inter')
            end,
            false
        )
)

select
    {{ finding(
        "disposition_contradicts",
        case_number="contradictions.case_number",
        location_id="cases.location_id",
        occurred_at="contradictions.occurred_at",
        a="contradictions", feed_a="custody_events",
        b="cases", feed_b="cases",
        detail="case contradictions.act when 'scattered' then 'The remains were ' else 'The person was ' end"
            ~ " || contradictions.act || ' at ' || "
            ~ minute_text("contradictions.occurred_at_local") ~ " || ' (event ' || contradictions.event_id"
            ~ " || '); the case says disposition ' || coalesce(cases.disposition_code, 'blank')"
            ~ " || ' and instruction ' || coalesce(cases.disposition_instruction, 'blank') || '.' || "
            ~ held_back_note("contradictions.is_held or cases.is_held")
    ) }}
from contradictions
inner join {{ ref("int_cases") }} as cases
    on contradictions.case_number = cases.case_number
where contradictions.place_in_case = 1
