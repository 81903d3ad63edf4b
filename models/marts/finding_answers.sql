select
    answers.finding_number,
    case
        when history.finding_number is null and findings.finding_number is null then 'no such finding'
        when findings.finding_number is null then 'finding closed'
        else findings.answer_state
    end as answer_state,
    coalesce(findings.rule_code, history.rule_code) as rule_code,
    coalesce(findings.case_number, history.case_number) as case_number,
    answers.decision,
    answers.decided_by,
    answers.decided_on,
    answers.reason,
    answers.expires_on,
    answers.file_id,
    answers.line
from {{ ref("stg_finding_answers") }} as answers
left join {{ ref("findings") }} as findings
    on answers.finding_number = findings.finding_number
left join {{ source("quality", "finding_history") }} as history
    on answers.finding_number = history.finding_number
