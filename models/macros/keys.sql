{#
    A key of fixed width from several columns: md5 over their text, each preceded by its length,
    so that ('ab', 'c') and ('a', 'bc') differ, and null differs from blank.
#}
{% macro hash_key(expressions) -%}
    md5(
        {%- for expression in expressions %}
        coalesce(
            cast(length(cast({{ expression }} as varchar)) as varchar) || ':' || cast({{ expression }} as varchar), '-'
        )
        {%- if not loop.last %} || '|' ||{% endif %}
        {%- endfor %}
    )
{%- endmacro %}

{# The values of a group as one text, sorted, ', ' between. #}
{% macro list_text(expression) -%}
    string_agg(distinct cast({{ expression }} as varchar), ', ' order by cast({{ expression }} as varchar))
{%- endmacro %}

{#
    The newest value that is not null, up to and including this row. `window` is the window's
    partition and order, without a frame.
#}
{% macro carried_forward(expression, window) -%}
    {{ adapter.dispatch("carried_forward", "ledgerstone")(expression, window) }}
{%- endmacro %}

{% macro default__carried_forward(expression, window) -%}
    (array_agg({{ expression }}) filter (where {{ expression }} is not null)
        over ({{ window }} rows between unbounded preceding and current row)
    )[count({{ expression }}) over ({{ window }} rows between unbounded preceding and current row)]
{%- endmacro %}

{% macro duckdb__carried_forward(expression, window) -%}
    last_value({{ expression }} ignore nulls)
        over ({{ window }} rows between unbounded preceding and current row)
{%- endmacro %}
