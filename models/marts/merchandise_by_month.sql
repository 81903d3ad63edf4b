with movements as (
    select
        case_number,
        location_id,
        item_kind,
        document_date as moved_date,
        quantity as billed_quantity,
        amount as billed_amount,
        0 as issued_quantity,
        0 as issued_cost,
        0 as held_count
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
        net_cost as issued_cost,
        0 as held_count
    from {{ ref("int_merchandise_issued") }}

    union all

    select
        held.case_number,
        held.location_id,
        items.item_kind,
        held.document_date as moved_date,
        0 as billed_quantity,
        0 as billed_amount,
        0 as issued_quantity,
        0 as issued_cost,
        1 as held_count
    from {{ ref("stg_held_statement_lines") }} as held
    inner join {{ ref("int_merchandise_items") }} as items
        on held.item_code = items.item_code
    left join {{ ref("int_local_today") }} as today
        on held.location_id = today.location_id
    where
        held.location_id is not null
        and held.document_date <= {{ today("today") }}
        and {{ is_billed("held.document_kind") }}

    union all

    select
        held.case_number,
        held.location_id,
        items.item_kind,
        cast(held.occurred_at_local as date) as moved_date,
        0 as billed_quantity,
        0 as billed_amount,
        0 as issued_quantity,
        0 as issued_cost,
        1 as held_count
    from {{ ref("stg_held_supply_movements") }} as held
    inner join {{ ref("int_merchandise_items") }} as items
        on held.item_code = items.item_code
    where
        held.location_id is not null
        and held.occurred_at <= {{ as_of() }}
        and held.movement_kind in ('issued', 'returned')
),

by_month as (
    select
        coalesce(cases.location_id, movements.location_id) as location_id,
        cast(date_trunc('month', movements.moved_date) as date) as month_start,
        movements.item_kind,
        movements.billed_quantity,
        movements.billed_amount,
        movements.issued_quantity,
        movements.issued_cost,
        movements.held_count
    from movements
    left join {{ ref("stg_cases") }} as cases
        on movements.case_number = cases.case_number and not cases.is_held
)

select
    location_id,
    month_start,
    item_kind,
    {{ as_quantity("sum(billed_quantity)") }} as billed_quantity,
    {{ as_money("sum(billed_amount)") }} as billed_amount,
    {{ as_quantity("sum(issued_quantity)") }} as issued_quantity,
    {{ as_money("sum(issued_cost)") }} as issued_cost,
    {{ as_money("sum(billed_amount) - sum(issued_cost)") }} as margin,
    cast(count(case when issued_cost is null then 1 end) as bigint) as issues_without_cost,
    cast(sum(held_count) as bigint) as records_held_back
from by_month
group by location_id, month_start, item_kind
