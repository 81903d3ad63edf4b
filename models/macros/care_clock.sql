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
