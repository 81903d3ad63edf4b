with movements as (
    select
        case_number,
        location_id,
        item_kind,
        document_date as moved_date,
        quantity as billed_quantity,
        amount as billed_amount,
        0 as issued_quantity,
        0 as issued_cost
    from {{ ref("int_merchandise_billed") }}
    where not is_covered

    union all

    select
        case_number,
        location_id,
        item_kind,
        occurred_date as moved_date,
        0 as billed_quantity,
        0 as billed_amount,
        net_quantity as issued_quantity,
        net_cost as issued_cost
    from {{ ref("int_merchandise_issued") }}
)

select
    coalesce(cases.location_id, movements.location_id) as location_id,
    cast(date_trunc('month', movements.moved_date) as date) as month_start,
    movements.item_kind,
    {{ as_quantity("sum(movements.billed_quantity)") }} as billed_quantity,
    {{ as_money("sum(movements.billed_amount)") }} as billed_amount,
    {{ as_quantity("sum(movements.issued_quantity)") }} as issued_quantity,
    {{ as_money("sum(movements.issued_cost)") }} as issued_cost,
    {{ as_money("sum(movements.billed_amount) - sum(movements.issued_cost)") }} as margin,
    cast(count(case when movements.issued_cost is null then 1 end) as bigint) as issues_without_cost
from movements
left join {{ ref("stg_cases") }} as cases
    on movements.case_number = cases.case_number and not cases.is_held
group by 1, 2, 3
