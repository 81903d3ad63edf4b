-- What there is of each item of goods at each place, and what it cost by either method.
with movements as (
    select
        moved.location_id,
        moved.item_code,
        count(case when moved.stock_quantity is null then 1 end) as unconverted_count
    from {{ ref("int_stock_movements") }} as moved
    inner join {{ ref("int_merchandise_items") }} as items
        on moved.item_code = items.item_code
    group by moved.location_id, moved.item_code
),

held_back as (
    select
        location_id,
        item_code,
        count(*) as held_count
    from {{ ref("stg_held_supply_movements") }}
    where coalesce(occurred_at <= {{ as_of() }}, true)
    group by location_id, item_code
),

flows as (
    select
        location_id,
        item_code,
        sum(case when is_incoming then quantity else -quantity end) as quantity,
        sum(case when is_incoming and unit_cost is null then quantity else 0 end) as uncosted_quantity
    from {{ ref("int_goods_flows") }}
    group by location_id, item_code
),

layers as (
    select
        pieces.location_id,
        pieces.item_code,
        sum(case when pieces.out_number is null then pieces.amount else 0 end) as amount,
        sum(case when pieces.in_number is null then pieces.quantity else 0 end) as unlayered_quantity,
        min(case when pieces.out_number is null then flows.occurred_at end) as oldest_at
    from {{ ref("int_goods_layers") }} as pieces
    left join {{ ref("int_goods_flows") }} as flows
        on
            pieces.location_id = flows.location_id
            and pieces.item_code = flows.item_code
            and pieces.in_number = flows.flow_number
    group by pieces.location_id, pieces.item_code
),

last_months as (
    select
        location_id,
        item_code,
        held_amount - out_amount as amount
    from {{ ref("int_goods_months") }}
    where is_last
)

select
    movements.location_id,
    movements.item_code,
    items.item_kind,
    items.description,
    {{ as_quantity("coalesce(flows.quantity, 0)") }} as quantity,
    {{ as_money("coalesce(layers.amount, 0)") }} as first_in_amount,
    {{ as_money("coalesce(last_months.amount, 0)") }} as average_amount,
    layers.oldest_at,
    {{ as_quantity("coalesce(layers.unlayered_quantity, 0)") }} as unlayered_quantity,
    {{ as_quantity("coalesce(flows.uncosted_quantity, 0)") }} as uncosted_quantity,
    cast(movements.unconverted_count as bigint) as unconverted_count,
    cast(coalesce(held_back.held_count, 0) as bigint) as movements_held_back
from movements
inner join {{ ref("int_merchandise_items") }} as items
    on movements.item_code = items.item_code
left join flows
    on movements.location_id = flows.location_id and movements.item_code = flows.item_code
left join layers
    on movements.location_id = layers.location_id and movements.item_code = layers.item_code
left join last_months
    on movements.location_id = last_months.location_id and movements.item_code = last_months.item_code
left join held_back
    on movements.location_id = held_back.location_id and movements.item_code = held_back.item_code
