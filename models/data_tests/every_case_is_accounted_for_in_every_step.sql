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

-- A step that is left out of the account altogether does not add up either; where no case has taken one none is known.
steps as (
    select distinct step_code
    from {{ ref("case_steps") }}
)

select
    cases.location_id,
    steps.step_code,
    cases.case_count,
    accounted.case_count as accounted_count
from cases
cross join steps
left join accounted
    on cases.location_id = accounted.location_id and steps.step_code = accounted.step_code
where cases.case_count is distinct from accounted.case_count
