with moved as (
    select
        moved.*,
        stock.expected,
        stock.counted,
        stock.counted_at,
        {{ count_tolerance("moved") }} as tolerance,
        -- The count, else the newest movement that took what was not there.
        row_number() over (
            partition by moved.location_id, moved.item_code order by moved.occurred_at desc, moved.movement_id asc
        ) as place_in_stock
    from {{ ref("stock_roll_forward") }} as stock
    inner join {{ ref("int_stock_movements") }} as moved
        on stock.location_id = moved.location_id and stock.item_code = moved.item_code
    where
        case
            when stock.counted_at is null then moved.movement_kind in ('issued', 'sent', 'written_off')
            else moved.movement_kind = 'counted' and moved.occurred_at = stock.counted_at
        end
        -- Where no balance was opened nobody knows what was there before the records.
        and stock.opened_at is not null
        -- A movement that is held back or in an unknown unit could be the difference.
        and stock.movements_held_back = 0
        and stock.unconverted_count = 0
)

select
    {{ finding(
        "stock_over",
        case_number="null",
        location_id="moved.location_id",
        occurred_at="moved.occurred_at",
        a="moved",
        feed_a="supply_movements",
        measured_value="coalesce(moved.counted, moved.expected)",
        limit_value="case when moved.counted_at is null then 0 else moved.expected end",
        value_unit="units of the item",
        detail="'Item ' || moved.item_code || ' at ' || moved.location_id || ': '
            || case
                when moved.counted_at is null
                    then 'by the movements since the opening balance ' || " ~ quantity_text("-moved.expected") ~ "
                        || ' more went out than there was, the newest being movement ' || moved.movement_id
                else 'counted ' || " ~ quantity_text("moved.counted") ~ " || ', expected '
                    || " ~ quantity_text("moved.expected") ~ " || ' by the movements since the opening balance'
            end || '.'"
    ) }}
from moved
where
    moved.place_in_stock = 1
    and {{ to_double("coalesce(moved.counted, 0) - moved.expected") }} > moved.tolerance
