-- Every figure opens: a finding names a catalogue rule and a record that stands in the warehouse.
{% set feeds = var("group_feeds") %}

with findings as (
    select
        findings.rule_code,
        findings.case_number,
        findings.feed_a,
        findings.file_id_a,
        findings.line_a,
        findings.detail,
        rules.rule_code as known_rule_code
    from {{ ref("all_findings") }} as findings
    left join {{ source("quality", "rules") }} as rules
        on findings.rule_code = rules.rule_code
),

records as (
    {% for feed in feeds -%}
    {% set feed_loop = loop -%}
    {% for layer in ["accepted", "held"] -%}
    select
        '{{ feed }}' as feed,
        records.file_id,
        records.line
    from {{ source(layer, feed) }} as records
    inner join findings
        on records.file_id = findings.file_id_a and records.line = findings.line_a
    {%- if not (loop.last and feed_loop.last) %}

    union

    {% endif %}
    {%- endfor %}
    {%- endfor %}
)

select
    findings.rule_code,
    findings.case_number,
    findings.feed_a,
    findings.file_id_a,
    findings.line_a,
    findings.detail
from findings
left join records
    on
        findings.feed_a = records.feed
        and findings.file_id_a = records.file_id
        and findings.line_a = records.line
where records.line is null or findings.known_rule_code is null or findings.detail is null
