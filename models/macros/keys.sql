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

{# The values of a group as one text, sorted, each once, ', ' between; all of them in the order given, if one is. #}
{% macro list_text(expression, between=", ", order_by=none) -%}
    string_agg(
        {%- if not order_by %}distinct {% endif %}cast({{ expression }} as varchar), '{{ between }}'
        order by {{ order_by or "cast(" ~ expression ~ " as varchar)" }}
    )
{%- endmacro %}

{#
    The newest value that is not null, up to this row ('current row') or the one before
    ('1 preceding'). `window` is the window's partition and order, without a frame.
#}
{% macro carried_forward(expression, window, until="current row") -%}
    {{ adapter.dispatch("carried_forward", "ledgerstone")(expression, window, until) }}
{%- endmacro %}

{% macro default__carried_forward(expression, window, until) -%}
    (array_agg({{ expression }}) filter (where {{ expression }} is not null)
        over ({{ window }} rows between unbounded preceding and {{ until }})
    )[count({{ expression }}) over ({{ window }} rows between unbounded preceding and {{ until }})]
{%- endmacro %}

{% macro duckdb__carried_forward(expression, window, until) -%}
    last_value({{ expression }} ignore nulls)
        over ({{ window }} rows between unbounded preceding and {{ until }})
{%- endmacro %}
