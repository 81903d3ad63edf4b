{% set same_place = [
    "findings.rule_code", "findings.case_number", "findings.location_id", "findings.occurred_at",
    "findings.feed_a", "findings.feed_b"
] %}

with numbered as (
    -- The key holds what does not change from export to export: no file, no line, no measured value.
    select
        findings.*,
        {{ hash_key(same_place) }} as place_key,
        row_number() over (
            partition by {{ same_place | join(", ") }}
            order by findings.detail, findings.file_id_a, findings.line_a, findings.file_id_b, findings.line_b
        ) as copy_number
    from {{ ref("all_findings") }} as findings
)

select
    {{ hash_key(["findings.place_key", "findings.copy_number"]) }} as finding_key,
    findings.rule_code,
    rules.family,
    rules.severity,
    findings.case_number,
    findings.location_id,
    findings.occurred_at,
    findings.measured_value,
    findings.limit_value,
    findings.value_unit,
    findings.detail,
    findings.feed_a,
    files_a.file_name as file_name_a,
    findings.line_a,
    findings.feed_b,
    files_b.file_name as file_name_b,
    findings.line_b,
    rules.says,
    rules.mend,
    rules.mended_by,
    rules.act_within,
    rules.source
from numbered as findings
left join {{ source("quality", "rules") }} as rules
    on findings.rule_code = rules.rule_code
left join {{ source("raw", "files") }} as files_a
    on findings.file_id_a = files_a.file_id
left join {{ source("raw", "files") }} as files_b
    on findings.file_id_b = files_b.file_id
