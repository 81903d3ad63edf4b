{# Numbers: the types and roundings on which engines differ. #}

{% macro type_double() -%}
    {{ adapter.dispatch("type_double", "ledgerstone")() }}
{%- endmacro %}

{% macro default__type_double() -%}
    double precision
{%- endmacro %}

{% macro duckdb__type_double() -%}
    double
{%- endmacro %}

{% macro to_double(expression) -%}
    cast({{ expression }} as {{ type_double() }})
{%- endmacro %}

{#
    A sum or a mean of doubles, in digits that do not depend on the order in which its parts were
    added: the same records give the same bytes. What rounds to nothing has no sign.
#}
{% macro settled(expression) -%}
    case when round({{ expression }}, 9) = 0 then {{ to_double("0") }} else round({{ expression }}, 9) end
{%- endmacro %}

{#
    The mean of figures that may be settled themselves: added as decimals, which is exact in any order. The mean of an even
    number of settled figures often lies on the very border between two of them, where the last digit of a sum of doubles
    decides.
#}
{% macro settled_mean(expression) -%}
    {{ to_double("sum(cast(" ~ expression ~ " as decimal(24, 9)))") }} / count({{ expression }})
{%- endmacro %}

{#
    The interpolated quantile (definition 7 of Hyndman and Fan 1996, numpy's "linear"). Cast to
    double first: the median of a decimal is rounded to the decimal's scale.
#}
{% macro quantile(expression, fraction, where=none) -%}
    percentile_cont({{ fraction }}) within group (order by {{ to_double(expression) }})
    {%- if where %} filter (where {{ where }}){% endif %}
{%- endmacro %}

{# A number as text with fixed decimals, for the detail of a finding; one absurd figure must not end the run. #}
{% macro number_text(expression, decimals=1) -%}
    case
        when abs({{ expression }}) < 1000000000000 then cast({{ as_printed(expression, decimals) }} as varchar)
        when {{ expression }} is not null then 'an absurd amount'
    end
{%- endmacro %}

{# The number that `number_text` prints; empty where it is absurd. #}
{% macro as_printed(expression, decimals) -%}
    cast(case when abs({{ expression }}) < 1000000000000 then {{ expression }} end as decimal(18, {{ decimals }}))
{%- endmacro %}

{# A quantity as a clerk writes it: no zeros at its end. One that is beyond its column is empty, and absurd. #}
{% macro quantity_text(expression) -%}
    coalesce(rtrim(rtrim(cast(cast({{ expression }} as decimal(38, 4)) as varchar), '0'), '.'), 'an absurd amount')
{%- endmacro %}

{#
    A measured figure that broke a limit, as text that cannot read as if it had not: where rounding brings it to the limit
    or across, it is just over or just under that limit.
#}
{% macro measured_text(measured, limit, decimals=1) -%}
    case
        when {{ measured }} > {{ limit }} and {{ as_printed(measured, decimals) }} <= {{ limit }}
            then 'just over ' || {{ quantity_text(limit) }}
        when {{ measured }} < {{ limit }} and {{ as_printed(measured, decimals) }} >= {{ limit }}
            then 'just under ' || {{ quantity_text(limit) }}
        else {{ number_text(measured, decimals) }}
    end
{%- endmacro %}

{#
    The number that a text is, of at most four decimals, with a currency or thousands grouped by commas or not; empty
    where it is none.
#}
{% macro decimal_of_text(expression) -%}
    {{ adapter.dispatch("decimal_of_text", "ledgerstone")(expression) }}
{%- endmacro %}

{% macro default__decimal_of_text(expression) -%}
    case
        when {{ expression }} ~ '^-?[$€£ ]*([0-9]{1,3}(,[0-9]{3})+|[0-9]{1,14})([.][0-9]{1,4})?$'
            then cast(translate({{ expression }}, '$€£, ', '') as decimal(18, 4))
    end
{%- endmacro %}

{% macro duckdb__decimal_of_text(expression) -%}
    case
        when regexp_full_match({{ expression }}, '-?[$€£ ]*([0-9]{1,3}(,[0-9]{3})+|[0-9]{1,14})([.][0-9]{1,4})?')
            then cast(translate({{ expression }}, '$€£, ', '') as decimal(18, 4))
    end
{%- endmacro %}

{# A price as a clerk writes it: two decimals, or the up to four of a rate. #}
{% macro price_text(expression) -%}
    case
        when {{ expression }} = cast({{ expression }} as decimal(38, 2))
            then cast(cast({{ expression }} as decimal(38, 2)) as varchar)
        else {{ quantity_text(expression) }}
    end
{%- endmacro %}

{# A timestamp as text to the minute, 'YYYY-MM-DD HH:MM', for the detail of a finding. #}
{% macro minute_text(expression) -%}
    substr(cast({{ expression }} as varchar), 1, 16)
{%- endmacro %}
