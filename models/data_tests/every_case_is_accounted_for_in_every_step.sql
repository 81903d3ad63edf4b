-- Counted in a step's figures or left out with a reason: in each step as many cases as there are.
with cases as (
    select
        coalesce(location_id, '(none)') as location_id,
        count(*) as case_count
    from {{ ref("int_cases") }}
    group by coalesce(location_id, '(none)')
),

accounted as (
    select
        location_id,
        step_code,
        sum(case_count) as case_count
    from {{ ref("step_accounts") }}
    where location_id <> '(group)'
    group by location_id, step_code
),

-- Where no case has taken a step none is known.
known as (
    select count(*) as step_count
    from {{ ref("case_steps") }}
)

select
    cases.location_id,
    accounted.step_code,
    cases.case_count,
    accounted.case_count as accounted_count
from cases
left join accounted
    on cases.location_id = accounted.location_id
cross join known
where cases.case_count is distinct from accounted.case_count and known.step_count > 0
