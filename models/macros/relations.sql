{#
    Relations named by schema and table alone. A database named in a view would be the name of the
    file that the run built; after the swap the file has another name and the view would be lost.
#}
{% macro ref() -%}
    {%- set relation = builtins.ref(*varargs, **kwargs) -%}
    {%- do return(relation.include(database=false)) -%}
{%- endmacro %}

{% macro source() -%}
    {%- set relation = builtins.source(*varargs, **kwargs) -%}
    {%- do return(relation.include(database=false)) -%}
{%- endmacro %}
