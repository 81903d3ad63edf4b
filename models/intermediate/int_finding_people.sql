-- A finding of two people is told of both.
select
    finding_number,
    rule_code,
    family,
    severity,
    answer_state,
    case_number
from {{ ref("findings") }}
where case_number is not null

union all

select
    finding_number,
    rule_code,
    family,
    severity,
    answer_state,
    other_case_number as case_number
from {{ ref("findings") }}
where other_case_number is not null
