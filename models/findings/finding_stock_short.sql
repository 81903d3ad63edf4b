with counts as (
    select
        moved.*,
        {{ count_tolerance("moved") }} as tolerance,
        row_number() over (
            partition by moved.location_id, moved.item_code, moved.occurred_at order by moved.movement_id
        ) as row_in_count
    from {{ ref("int_stock_movements") }} as moved
    where moved.movement_kind = 'counted'
)

select
    {{ finding(
        "stock_short",
        case_number="null",
        location_id="stock.location_id",
        occurred_at="counts.occurred_at",
        a="counts",
        feed_a="supply_movements",
        measured_value="stock.counted",
        limit_value="stock.expected",
        value_unit="units of the item",
        detail="'Item ' || stock.item_code || ' at ' || stock.location_id || ': counted '
            || " ~ quantity_text("stock.counted") ~ " || ', expected ' || " ~ quantity_text("stock.expected") ~ " || ' '
            || case stock.unit when 'each' then 'pieces' else stock.unit end
            || ' by the movements since the opening balance.'"
    ) }}
from {{ ref("stock_roll_forward") }} as stock
inner join counts
    on
        stock.location_id = counts.location_id
        and stock.item_code = counts.item_code
        and stock.counted_at = counts.occurred_at
        and counts.row_in_count = 1
where
    {{ to_double("stock.difference") }} < -counts.tolerance
    -- A movement that is held back or in an unknown unit could be the difference.
    and stock.movements_held_back = 0
    and stock.unconverted_count = 0
