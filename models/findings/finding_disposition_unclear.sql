{# What each code rules out. Removal from the state may lead to any of them, a gift of the body to a cremation. #}
{% set contradicting = {
    "B": ("cremate_collect", "cremate_inter", "cremate_scatter", "donate", "entomb"),
    "C": ("bury", "donate", "entomb", "ship"),
    "D": ("bury", "entomb", "ship"),
    "E": ("bury", "cremate_collect", "cremate_inter", "cremate_scatter", "donate"),
} %}

-- Before the act; once it is done it contradicts one of the two, which another rule tells.
select
    {{ finding(
        "disposition_unclear",
        case_number="cases.case_number",
        location_id="cases.location_id",
        occurred_at="milestones.in_care_since",
        a="cases", feed_a="cases",
        detail="'The case says disposition ' || cases.disposition_code || ' and instruction '"
            ~ " || replace(cases.disposition_instruction, '_', ' ') || '; nothing is done yet.' || "
            ~ held_back_note("cases.is_held")
    ) }}
from {{ ref("int_cases") }} as cases
inner join {{ ref("int_case_milestones") }} as milestones
    on cases.case_number = milestones.case_number
where
    milestones.in_care_since is not null
    and milestones.final_at is null
    and milestones.cremation_started_at is null
    and cases.case_status <> 'cancelled'
    and case
        {%- for code, instructions in contradicting.items() %}
        when cases.disposition_code = '{{ code }}' then cases.disposition_instruction in {{ instructions }}
        {%- endfor %}
        else false
    end
