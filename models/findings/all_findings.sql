{# A new finding model needs no edit here: the rule catalogue passes the list. #}
{% for model in var("finding_models") -%}
select {{ finding_columns() }}
from {{ ref(model) }}
{%- if not loop.last %}

union all

{% endif %}
{%- else -%}
select {{ finding_columns() }}
from ({{ no_findings() }}) as no_findings
{%- endfor %}
