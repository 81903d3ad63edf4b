-- A finding of two people is told of both.
{% for person in ["case_number", "other_case_number"] -%}
select
    finding_key,
    finding_number,
    rule_code,
    family,
    severity,
    answer_state,
    {{ person }} as case_number
from {{ ref("findings") }}
where {{ person }} is not null
{%- if not loop.last %}

union all

{% endif %}
{%- endfor %}
