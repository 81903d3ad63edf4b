-- A finding of two people is told of both.
{% for person, place in [("case_number", "person_place_id"), ("other_case_number", "other_person_place_id")] -%}
select
    finding_key,
    finding_number,
    rule_code,
    family,
    severity,
    answer_state,
    {{ person }} as case_number,
    {{ place }} as place_id
from {{ ref("findings") }}
where {{ person }} is not null
{%- if not loop.last %}

union all

{% endif %}
{%- endfor %}
