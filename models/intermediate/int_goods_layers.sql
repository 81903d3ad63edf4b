-- First in, first out: stock that came in and stock that went out are laid along one line of quantities, and each
-- piece between two ends belongs to the layer and to the issue that reach over it. The last piece of a layer takes
-- what is left of its amount, so that nothing is lost to rounding.
{% set upwards = "partition by location_id, item_code order by reaches asc" %}
{% set downwards = "partition by location_id, item_code order by reaches desc" %}
{% set amount_up_to = to_double("layers.amount") ~ " * (%s - (layers.reaches - layers.quantity)) / layers.quantity" %}

with ends as (
    select
        location_id,
        item_code,
        reaches,
        max(case when is_incoming then flow_number end) as in_number,
        max(case when not is_incoming then flow_number end) as out_number
    from {{ ref("int_goods_flows") }}
    group by location_id, item_code, reaches
),

pieces as (
    select
        location_id,
        item_code,
        coalesce(lag(reaches) over ({{ upwards }}), 0) as begins,
        reaches,
        {{ carried_forward("in_number", downwards) }} as in_number,
        {{ carried_forward("out_number", downwards) }} as out_number
    from ends
)

select
    pieces.location_id,
    pieces.item_code,
    pieces.in_number,
    pieces.out_number,
    {{ as_quantity("pieces.reaches - pieces.begins") }} as quantity,
    layers.unit_cost,
    {{ as_money(amount_up_to % "pieces.reaches") }} - {{ as_money(amount_up_to % "pieces.begins") }} as amount
from pieces
left join {{ ref("int_goods_flows") }} as layers
    on
        pieces.location_id = layers.location_id
        and pieces.item_code = layers.item_code
        and pieces.in_number = layers.flow_number
