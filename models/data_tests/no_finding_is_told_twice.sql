select
    rule_code,
    case_number,
    location_id,
    occurred_at,
    detail,
    count(*) as times
from {{ ref("findings") }}
group by rule_code, case_number, location_id, occurred_at, detail
having count(*) > 1

union all

select
    min(rule_code) as rule_code,
    min(case_number) as case_number,
    min(location_id) as location_id,
    min(occurred_at) as occurred_at,
    finding_key as detail,
    count(*) as times
from {{ ref("findings") }}
group by finding_key
having count(*) > 1
