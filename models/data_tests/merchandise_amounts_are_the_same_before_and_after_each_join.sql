with amounts as (
    select
        'billed' as side,
        (select sum(amount) from {{ ref("int_merchandise_billed") }}) as amount_before,
        (select sum(billed_amount) from {{ ref("merchandise_matched") }}) as amount_by_case,
        (select sum(billed_amount) from {{ ref("merchandise_by_month") }}) as amount_by_month
    union all
    select
        'issued' as side,
        (select sum(net_cost) from {{ ref("int_merchandise_issued") }}) as amount_before,
        (select sum(issued_cost) from {{ ref("merchandise_matched") }}) as amount_by_case,
        (select sum(issued_cost) from {{ ref("merchandise_by_month") }}) as amount_by_month
)

select
    side,
    amount_before,
    amount_by_case,
    amount_by_month
from amounts
where
    coalesce(amount_before, 0) <> coalesce(amount_by_case, 0)
    or coalesce(amount_before, 0) <> coalesce(amount_by_month, 0)
