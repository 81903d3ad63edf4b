{# Issues are often written down in the evening or the morning after (the group's own judgement; no source). #}
{% set hours_of_writing = 24 %}
{% set hours_off = elapsed_hours("out_of_care.care_at", "out_of_care.occurred_at") %}

with issues as (
    select
        moved.*,
        cases.in_care_since,
        coalesce(cases.final_at, cases.cremation_started_at) as ended_at,
        coalesce(cases.final_action, 'cremation_started') as ended_by,
        cases.last_file_id,
        cases.last_line
    from {{ ref("int_stock_movements") }} as moved
    inner join {{ ref("int_case_milestones") }} as cases
        on moved.case_number = cases.case_number
    where
        moved.movement_kind = 'issued'
        and (moved.item_kind = 'cavity_fluid' or {{ is_injected("moved.item_kind") }})
        -- A record without its time may be the receipt, or the return into our care.
        and cases.untimed_count = 0
),

out_of_care as (
    select
        *,
        case when occurred_at > ended_at then ended_at else in_care_since end as care_at,
        case when occurred_at > ended_at then last_file_id end as end_file_id,
        case when occurred_at > ended_at then last_line end as end_line,
        row_number() over (partition by case_number order by occurred_at desc, movement_id desc) as issue_rank
    from issues
    where
        occurred_at > {{ add_hours("ended_at", hours_of_writing) }}
        or occurred_at < {{ add_hours("in_care_since", -hours_of_writing) }}
)

select
    {{ finding(
        "fluid_out_of_care",
        case_number="out_of_care.case_number",
        location_id="out_of_care.location_id",
        occurred_at="out_of_care.occurred_at",
        a="out_of_care",
        feed_a="supply_movements",
        b="out_of_care",
        feed_b="custody_events",
        file_id_b="end_file_id",
        line_b="end_line",
        measured_value="abs(" ~ hours_off ~ ")",
        limit_value=hours_of_writing,
        value_unit="hours",
        detail="'Movement ' || out_of_care.movement_id || ' issues fluid ' || out_of_care.item_code || ' to case '
            || out_of_care.case_number || ' ' || " ~ number_text("abs(" ~ hours_off ~ ") / 24.0", 1) ~ " || ' days '
            || case
                when out_of_care.occurred_at > out_of_care.ended_at
                    then 'after the person was ' || case out_of_care.ended_by
                        when 'released' then 'handed over'
                        when 'buried' then 'buried'
                        when 'entombed' then 'entombed'
                        else 'cremated'
                    end
                else 'before the person came into care'
            end || '.'"
    ) }}
from out_of_care
where out_of_care.issue_rank = 1
