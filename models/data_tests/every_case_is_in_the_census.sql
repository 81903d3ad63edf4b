-- Nothing is hidden: whoever is named in a case or custody record of the past, trusted or held, is counted.
with named as (
    select case_number
    from {{ ref("stg_cases") }}
    where coalesce(first_call_at <= {{ as_of() }}, true)

    union

    select case_number
    from {{ ref("stg_custody_events") }}
    where coalesce(occurred_at <= {{ as_of() }}, true)
)

select named.case_number
from named
left join {{ ref("custody_cases") }} as census
    on named.case_number = census.case_number
where named.case_number is not null and census.case_number is null
