{# Whole numbers from 0 to 999, column `number`: weeks, hours and steps that a grid is made of. #}
{% macro numbers_to_999() -%}
    select 100 * hundreds.digit + 10 * tens.digit + ones.digit as number
    from ({{ digits() }}) as hundreds
    cross join ({{ digits() }}) as tens
    cross join ({{ digits() }}) as ones
{%- endmacro %}

{% macro digits() -%}
    select cast(listed.digit as integer) as digit
    from (values (0), (1), (2), (3), (4), (5), (6), (7), (8), (9)) as listed (digit)
{%- endmacro %}
