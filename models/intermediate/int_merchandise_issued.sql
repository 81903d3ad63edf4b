{% set item_in_order = "partition by location_id, item_code order by occurred_at, is_incoming desc, movement_id" %}

with movements as (
    select
        moved.movement_id,
        moved.case_number,
        moved.location_id,
        moved.item_code,
        moved.item_kind,
        moved.movement_kind,
        moved.occurred_at,
        moved.occurred_date,
        moved.stock_quantity,
        moved.stock_unit_cost,
        items.list_cost,
        moved.movement_kind in ('opening', 'received', 'arrived') as is_incoming,
        moved.file_id,
        moved.line
    from {{ ref("int_stock_movements") }} as moved
    inner join {{ ref("int_merchandise_items") }} as items
        on moved.item_code = items.item_code
    where moved.movement_kind in ('opening', 'received', 'arrived', 'issued', 'returned')
),

valued as (
    -- Cost = the issue's own; else the last known at that place when it was issued; else the list cost.
    select
        *,
        {{ carried_forward("case when is_incoming then stock_unit_cost end", item_in_order) }} as last_cost,
        case when movement_kind = 'returned' then -stock_quantity else stock_quantity end as net_quantity
    from movements
)

select
    movement_id,
    case_number,
    location_id,
    item_code,
    item_kind,
    movement_kind,
    occurred_at,
    occurred_date,
    net_quantity,
    coalesce(stock_unit_cost, last_cost, list_cost) as cost_of_one,
    case
        when stock_unit_cost is not null then 'movement'
        when last_cost is not null then 'last known'
        when list_cost is not null then 'list cost'
        else 'not known'
    end as cost_source,
    {{ as_money(product("net_quantity", "coalesce(stock_unit_cost, last_cost, list_cost)")) }} as net_cost,
    file_id,
    line
from valued
where movement_kind in ('issued', 'returned') and case_number is not null
