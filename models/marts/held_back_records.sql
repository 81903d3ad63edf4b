-- Whose record it is: the place that the record names, else the arranging home of its case. What
-- could not be read names nobody.
with places as (
    select
        file_id,
        line,
        max(location_id) as location_id
    from (
        select
            file_id,
            line,
            location_id
        from {{ ref("stg_cases") }}
        where is_held

        union all

        {% for feed in ["air_samples", "locations", "price_lists", "statement_lines", "supplier_bill_lines",
            "supply_movements"] -%}
        select
            file_id,
            line,
            location_id
        from {{ ref("stg_held_" ~ feed) }}
        {%- if not loop.last %}

        union all

        {% endif %}
        {%- endfor %}
    ) as named
    group by file_id, line
)

select
    coalesce(places.location_id, cases.location_id) as location_id,
    rules.mended_by,
    rejects.rule_code,
    rules.severity,
    rejects.feed,
    rejects.file_id,
    files.file_name,
    rejects.line,
    rejects.case_number,
    rejects.record_key,
    rejects.column_name,
    rejects.value,
    coalesce(rejects.detail, rules.says) as detail,
    rules.mend,
    rules.act_within
from {{ source("quality", "rejects") }} as rejects
left join {{ source("quality", "rules") }} as rules
    on rejects.rule_code = rules.rule_code
left join {{ source("raw", "files") }} as files
    on rejects.file_id = files.file_id
left join places
    on rejects.file_id = places.file_id and rejects.line = places.line
left join {{ ref("int_cases") }} as cases
    on rejects.case_number = cases.case_number
