-- What became of every case in every step: counted in its figures, or left out and why. Nothing is dropped silently.
with cases as (
    select
        coalesce(location_id, '(none)') as location_id,
        disposition_kind = 'cremation' as is_cremation,
        case
            when is_held then 'case held back'
            when case_status = 'cancelled' then 'cancelled'
            when first_call_at > {{ as_of() }} then 'called later'
            when is_trade_call then 'trade call'
        end as left_out
    from {{ ref("int_cases") }}
),

steps as (
    -- The steps that cases take; a target for another is no step.
    select distinct step_code
    from {{ ref("case_steps") }}
),

accounted as (
    select
        location_id,
        step_code,
        step_state as accounted_as,
        count(*) as case_count
    from {{ ref("case_steps") }}
    where not is_trade_call
    group by location_id, step_code, step_state

    union all

    select
        cases.location_id,
        steps.step_code,
        coalesce(cases.left_out, 'does not apply') as accounted_as,
        count(*) as case_count
    from cases
    cross join steps
    where
        cases.left_out is not null
        or (steps.step_code = 'disposition_to_remains' and not cases.is_cremation)
    group by cases.location_id, steps.step_code, coalesce(cases.left_out, 'does not apply')
)

select
    coalesce(accounted.location_id, '(group)') as location_id,
    accounted.step_code,
    coalesce(max(targets.step_name), accounted.step_code) as step_name,
    cast(max(targets.step_number) as integer) as step_number,
    accounted.accounted_as,
    cast(sum(accounted.case_count) as bigint) as case_count
from accounted
left join {{ ref("stg_step_targets") }} as targets
    on accounted.step_code = targets.step_code and targets.location_id = '(group)'
group by
    grouping sets (
        (accounted.location_id, accounted.step_code, accounted.accounted_as),
        (accounted.step_code, accounted.accounted_as)
    )
