-- What came into the stock of goods and what went out, in order. A count says how much is there, as does an opening
-- balance after the first: what either differs by from the records before it is a flow of its own.
{% set in_order = "partition by location_id, item_code order by occurred_at, rank_in_instant, movement_id" %}
{% set of_balance = "partition by location_id, item_code, movement_kind, balance_at" %}

with balances as (
    {{ stock_balances() }}
),

moved as (
    select
        moved.movement_id,
        moved.location_id,
        moved.item_code,
        items.item_kind,
        moved.movement_kind,
        moved.occurred_at,
        coalesce(balances.balance_at, moved.occurred_at) as balance_at,
        moved.occurred_date,
        moved.case_number,
        moved.stock_quantity,
        moved.stock_unit_cost,
        items.list_cost,
        moved.file_id,
        moved.line
    from {{ ref("int_stock_movements") }} as moved
    inner join {{ ref("int_merchandise_items") }} as items
        on moved.item_code = items.item_code
    left join balances
        on moved.movement_id = balances.movement_id
    where moved.stock_quantity is not null
),

lots as (
    select
        *,
        row_number() over ({{ of_balance }} order by movement_id) as lot_number,
        sum(stock_quantity) over ({{ of_balance }}) as lots_quantity,
        sum(case when stock_unit_cost is not null then stock_quantity end) over ({{ of_balance }}) as lots_costed,
        sum({{ product("stock_quantity", "stock_unit_cost") }}) over ({{ of_balance }}) as lots_cost
    from moved
    where movement_kind in ('opening', 'counted')
),

in_and_out as (
    select
        movement_id,
        location_id,
        item_code,
        item_kind,
        movement_kind,
        occurred_at,
        occurred_date,
        case_number,
        false as is_balance,
        1 as rank_in_instant,
        case when movement_kind in ('received', 'arrived', 'returned') then stock_quantity else -stock_quantity end
            as net_quantity,
        null as lots_quantity,
        stock_unit_cost as own_cost,
        list_cost,
        file_id,
        line
    from moved
    where movement_kind not in ('opening', 'counted')

    union all

    -- Lots and shelves opened or counted together are one balance, at their average cost. An opening balance begins its
    -- instant, a count ends it.
    select
        movement_id,
        location_id,
        item_code,
        item_kind,
        movement_kind,
        balance_at as occurred_at,
        occurred_date,
        case_number,
        true as is_balance,
        case movement_kind when 'opening' then 0 else 2 end as rank_in_instant,
        0 as net_quantity,
        lots_quantity,
        {{ as_quantity("lots_cost / nullif(lots_costed, 0)") }} as own_cost,
        list_cost,
        file_id,
        line
    from lots
    where lot_number = 1
),

running as (
    select
        *,
        sum(net_quantity) over ({{ in_order }} rows between unbounded preceding and current row) as flowed_quantity
    from in_and_out
),

corrected as (
    select
        *,
        case when is_balance then lots_quantity - flowed_quantity end as beside_flow,
        {{ carried_forward("case when is_balance then lots_quantity - flowed_quantity end", in_order, "1 preceding") }}
            as beside_flow_before
    from running
),

measured as (
    select
        *,
        case when is_balance then beside_flow - coalesce(beside_flow_before, 0) else net_quantity end
            as signed_quantity,
        case
            when not is_balance then movement_kind
            when beside_flow < coalesce(beside_flow_before, 0) then 'missing'
            when movement_kind = 'opening' and beside_flow_before is null then 'opening'
            else 'found'
        end as flow_kind,
        {{ carried_forward(
            "case when movement_kind in ('opening', 'received', 'arrived') then own_cost end", in_order
        ) }} as last_cost
    from corrected
),

costed as (
    select
        *,
        signed_quantity > 0 as is_incoming,
        abs(signed_quantity) as quantity,
        case when signed_quantity > 0 then coalesce(own_cost, last_cost, list_cost) end as unit_cost,
        row_number() over ({{ in_order }}) as flow_number
    from measured
    where signed_quantity <> 0
)

select
    location_id,
    item_code,
    item_kind,
    flow_number,
    flow_kind,
    is_incoming,
    case when flow_kind not in ('missing', 'found') then movement_id end as movement_id,
    case_number,
    occurred_at,
    cast(date_trunc('month', occurred_date) as date) as month_start,
    {{ as_quantity("quantity") }} as quantity,
    {{ as_quantity("unit_cost") }} as unit_cost,
    {{ as_money(product("quantity", "unit_cost")) }} as amount,
    {{ as_quantity(
        "sum(quantity) over (partition by location_id, item_code, is_incoming order by flow_number"
        ~ " rows between unbounded preceding and current row)"
    ) }} as reaches,
    file_id,
    line
from costed
