{#
    When the clock of a limit on care starts. How an institution kept the person before us is not in
    our records: after one, it starts at receipt. `giver` is the party that handed the person to us.
#}
{% macro care_clock_starts(limits, cases, milestones, giver) -%}
    case
        when
            split_part({{ giver }}, ':', 1)
            in ('crematory', 'funeral_home', 'hospital', 'institution', 'medical_examiner')
            then {{ milestones }}.received_at
        else {{ limit_starts(limits, cases, milestones, "death_latest_at") }}
    end
{%- endmacro %}

{#
    The first and the last of the group's own places at which each person was: whose law holds for
    care, and whose for holding and permits. Gives case_number, first_location_id, last_location_id.
#}
{% macro first_and_last_places(stays) -%}
    select
        case_number,
        max(case when first_number = 1 then location_id end) as first_location_id,
        max(case when last_number = 1 then location_id end) as last_location_id
    from (
        select
            case_number,
            location_id,
            row_number() over (partition by case_number order by in_at asc, location_id asc) as first_number,
            row_number() over (partition by case_number order by in_at desc, location_id asc) as last_number
        from {{ stays }}
    ) as numbered
    group by case_number
{%- endmacro %}
