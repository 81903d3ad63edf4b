{#
    Tables and views made in place. A run builds a new file beside the warehouse and swaps it in
    whole, so the usual dance (build under another name, rename, drop the old one) protects nobody
    and took more than a third of the build's time.
#}
{% materialization table, adapter="duckdb", supported_languages=["sql"] %}
    {%- set target_relation = this.incorporate(type="table") -%}
    {{ drop_relation_if_exists(load_cached_relation(this)) }}
    {{ run_hooks(pre_hooks) }}
    {% call statement("main") -%}
        {{ create_table_as(False, target_relation, compiled_code) }}
    {%- endcall %}
    {{ run_hooks(post_hooks) }}
    {{ return({"relations": [target_relation]}) }}
{% endmaterialization %}

{% materialization view, adapter="duckdb", supported_languages=["sql"] %}
    {%- set target_relation = this.incorporate(type="view") -%}
    {{ drop_relation_if_exists(load_cached_relation(this)) }}
    {{ run_hooks(pre_hooks) }}
    {% call statement("main") -%}
        {{ create_view_as(target_relation, compiled_code) }}
    {%- endcall %}
    {{ run_hooks(post_hooks) }}
    {{ return({"relations": [target_relation]}) }}
{% endmaterialization %}
