{#
    Sums and products are wider than the columns that marts promise. A figure beyond the range of
    its column becomes empty instead of ending the run: one absurd record must not cost the rest.
#}

{# An amount of money, rounded half away from zero to cents. #}
{% macro as_money(expression) -%}
    cast(case when abs({{ expression }}) < 1000000000000000 then {{ expression }} end as decimal(18, 2))
{%- endmacro %}

{# A quantity or a unit cost, to four decimals. #}
{% macro as_quantity(expression) -%}
    cast(case when abs({{ expression }}) < 10000000000000 then {{ expression }} end as decimal(18, 4))
{%- endmacro %}

{# A measured figure whose sums must be the same in any order: decimals add exactly, doubles do not. #}
{% macro as_summable(expression) -%}
    cast(case when abs({{ expression }}) < 100000000000 then {{ expression }} end as decimal(18, 6))
{%- endmacro %}

{#
    The exact product of two decimals. DuckDB keeps the product of two decimals of 18 digits within 18
    digits, which a quantity of a few millions overflows: one factor is widened first.
#}
{% macro product(factor, other) -%}
    (cast({{ factor }} as decimal(38, 4)) * {{ other }})
{%- endmacro %}
