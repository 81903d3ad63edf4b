{#
    The one shape of a finding: fourteen columns, in this order, each cast. Every argument but the
    rule's code is a SQL expression. `a` and `b` are aliases of the two records compared; the
    finding takes their file_id and line. Record b may be left out, or be columns of another name in
    the same relation (file_id_b, line_b).

        select
            {{ finding(
                "permit_missing",
                case_number="acts.case_number",
                location_id="acts.place_id",
                occurred_at="acts.occurred_at",
                a="acts", feed_a="custody_events",
                detail="'Cremated at ' || acts.place_id || ' and no permit is on the case.'"
            ) }}
        from ...
#}
{% macro finding(
    rule_code, case_number, location_id, occurred_at, a, feed_a, detail,
    b=none, feed_b=none, measured_value="null", limit_value="null", value_unit=none,
    file_id_b="file_id", line_b="line"
) -%}
    cast('{{ rule_code }}' as varchar) as rule_code,
    cast({{ case_number }} as varchar) as case_number,
    cast({{ location_id }} as varchar) as location_id,
    cast({{ occurred_at }} as timestamp) as occurred_at,
    {{ to_double(measured_value) }} as measured_value,
    {{ to_double(limit_value) }} as limit_value,
    cast({{ "'" ~ value_unit ~ "'" if value_unit else "null" }} as varchar) as value_unit,
    cast('{{ feed_a }}' as varchar) as feed_a,
    cast({{ a }}.file_id as varchar) as file_id_a,
    cast({{ a }}.line as bigint) as line_a,
    {% if b -%}
    cast(case when {{ b }}.{{ file_id_b }} is not null then '{{ feed_b }}' end as varchar) as feed_b,
    cast({{ b }}.{{ file_id_b }} as varchar) as file_id_b,
    cast({{ b }}.{{ line_b }} as bigint) as line_b,
    {%- else -%}
    cast(null as varchar) as feed_b,
    cast(null as varchar) as file_id_b,
    cast(null as bigint) as line_b,
    {%- endif %}
    cast({{ detail }} as varchar) as detail
{%- endmacro %}

{# The fourteen columns by name, for a union. #}
{% macro finding_columns() -%}
    rule_code, case_number, location_id, occurred_at, measured_value, limit_value, value_unit,
    feed_a, file_id_a, line_a, feed_b, file_id_b, line_b, detail
{%- endmacro %}

{# Words for the end of a detail when one of its records is held back. #}
{% macro held_back_note(is_held) -%}
    case when {{ is_held }} then ' The record is held back.' else '' end
{%- endmacro %}

{# A code of a list as the first words of a detail. #}
{% macro first_words(code) -%}
    upper(substr({{ code }}, 1, 1)) || replace(substr({{ code }}, 2), '_', ' ')
{%- endmacro %}

{# The shape of a finding without a row, for a run of no finding model. #}
{% macro no_findings() -%}
    select
        {{ finding(
            "none", case_number="null", location_id="null", occurred_at="null", a="nothing", feed_a="none",
            detail="null"
        ) }}
    from (
        select
            cast(null as varchar) as file_id,
            cast(null as bigint) as line
    ) as nothing
    where 1 = 0
{%- endmacro %}
