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
),

keyed as (
    select
        *,
        {{ hash_key(["place_key", "copy_number"]) }} as finding_key
    from numbered
),

in_care as (
    -- Where the census has each person.
    select
        case_number,
        place_id
    from {{ ref("custody_cases") }}
    where is_in_care
),

known as (
    select
        finding_key,
        finding_number,
        first_seen_at
    from {{ source("quality", "finding_history") }}
),

last_given as (
    select coalesce(max(finding_number), 0) as finding_number
    from known
),

with_numbers as (
    -- A finding keeps its number; a new one gets the next, in an order that every run would give.
    select
        keyed.*,
        coalesce(
            known.finding_number,
            last_given.finding_number + row_number() over (
                partition by known.finding_number is null
                order by keyed.rule_code, keyed.case_number nulls last, keyed.occurred_at nulls last, keyed.finding_key
            )
        ) as finding_number,
        coalesce(known.first_seen_at, {{ as_of() }}) as first_seen_at
    from keyed
    cross join last_given
    left join known
        on keyed.finding_key = known.finding_key
),

second_records as (
    -- Whose the second record is: what two people share is in doubt for both.
    select
        file_id,
        line,
        case_number
    from {{ ref("stg_custody_events") }}

    union all

    select
        file_id,
        line,
        case_number
    from {{ ref("stg_cases") }}
)

select
    findings.finding_key,
    cast(findings.finding_number as bigint) as finding_number,
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
    rules.source,
    findings.first_seen_at,
    case
        when answers.finding_number is null then 'open'
        when answers.expires_on >= cast({{ as_of() }} as date) then 'answered'
        else 'answer expired'
    end as answer_state,
    answers.decision,
    answers.decided_by,
    answers.reason as decision_reason,
    answers.expires_on as answer_expires_on,
    findings.file_id_a,
    findings.file_id_b,
    seconds.case_number as other_case_number,
    persons.place_id as person_place_id,
    others.place_id as other_person_place_id
from with_numbers as findings
left join {{ ref("stg_finding_answers") }} as answers
    on findings.finding_number = answers.finding_number
left join {{ source("quality", "rules") }} as rules
    on findings.rule_code = rules.rule_code
left join {{ source("raw", "files") }} as files_a
    on findings.file_id_a = files_a.file_id
left join {{ source("raw", "files") }} as files_b
    on findings.file_id_b = files_b.file_id
left join second_records as seconds
    on
        findings.file_id_b = seconds.file_id
        and findings.line_b = seconds.line
        and findings.case_number <> seconds.case_number
        and findings.rule_code in {{ rules_of_two_people() }}
left join in_care as persons
    on findings.case_number = persons.case_number
left join in_care as others
    on seconds.case_number = others.case_number
