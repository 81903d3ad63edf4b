-- Nothing is hidden: whoever is named in a case or custody record of the past, trusted or held, is counted.
with untrue as (
    -- What cannot have been so late yet says all the same that somebody is here.
    {{ dated_after_export("cases", "first_call_at") }}

    union

    {{ dated_after_export() }}
),

named as (
    select records.case_number
    from {{ ref("stg_cases") }} as records
    left join untrue
        on records.file_id = untrue.file_id and records.line = untrue.line
    where coalesce(records.first_call_at <= {{ as_of() }}, true) or untrue.line is not null

    union

    select records.case_number
    from {{ ref("stg_custody_events") }} as records
    left join untrue
        on records.file_id = untrue.file_id and records.line = untrue.line
    where coalesce(records.occurred_at <= {{ as_of() }}, true) or untrue.line is not null
)

select named.case_number
from named
left join {{ ref("custody_cases") }} as census
    on named.case_number = census.case_number
where named.case_number is not null and census.case_number is null
