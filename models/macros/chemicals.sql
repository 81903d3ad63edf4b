{# Fluids that are mixed into the arterial solution; cavity fluid is used as it is. #}
{% macro is_injected(item_kind) -%}
    {{ item_kind }} in ('arterial_fluid', 'supplementary_fluid', 'dye')
{%- endmacro %}
