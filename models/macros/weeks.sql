{# ISO 8601 weeks: Monday to Sunday; week 1 holds the year's first Thursday. #}

{# The Monday of a date's ISO week. #}
{% macro iso_week_monday(local_date) -%}
    cast(date_trunc('week', {{ local_date }}) as date)
{%- endmacro %}

{# The label of a date's ISO week, '2026-W47'; the year is the week's, not the calendar's. #}
{% macro iso_week_label(local_date) -%}
    {{ adapter.dispatch("iso_week_label", "ledgerstone")(local_date) }}
{%- endmacro %}

{% macro default__iso_week_label(local_date) -%}
    to_char({{ local_date }}, 'IYYY-"W"IW')
{%- endmacro %}

{% macro duckdb__iso_week_label(local_date) -%}
    strftime({{ local_date }}, '%G-W%V')
{%- endmacro %}

{# A date some whole days later. #}
{% macro add_days(local_date, days) -%}
    {{ adapter.dispatch("add_days", "ledgerstone")(local_date, days) }}
{%- endmacro %}

{% macro default__add_days(local_date, days) -%}
    ({{ local_date }} + cast({{ days }} as integer))
{%- endmacro %}
