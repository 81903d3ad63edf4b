select
    rejects.feed,
    rejects.rule_code,
    rules.severity,
    files.file_name,
    cast(count(distinct rejects.line) as bigint) as record_count
from {{ source("quality", "rejects") }} as rejects
left join {{ source("quality", "rules") }} as rules
    on rejects.rule_code = rules.rule_code
left join {{ source("raw", "files") }} as files
    on rejects.file_id = files.file_id
group by rejects.feed, rejects.rule_code, rules.severity, files.file_name
