-- The list of what is stuck has every open case once: with its step, or with why it is in none.
with stands as (
    select
        case_number,
        count(*) as row_count
    from {{ ref("stuck_list") }}
    group by case_number
)

select
    cases.case_number,
    stands.row_count
from {{ ref("int_cases") }} as cases
left join stands
    on cases.case_number = stands.case_number
where
    cases.case_status = 'open'
    and not cases.is_held
    and cases.first_call_at <= {{ as_of() }}
    and coalesce(stands.row_count, 0) <> 1
