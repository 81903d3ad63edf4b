-- A casket or urn leaves the stock for somebody; what is damaged or shown is written off or stays where it is.
select
    {{ finding(
        "goods_issued_to_nobody",
        case_number="null",
        location_id="moved.location_id",
        occurred_at="moved.occurred_at",
        a="moved", feed_a="supply_movements",
        measured_value="moved.stock_quantity",
        value_unit="each",
        detail="'Movement ' || moved.movement_id || ' issues ' || coalesce(" ~ quantity_text("moved.stock_quantity")
            ~ " || ' of ', '') || 'item ' || moved.item_code || ' (' || replace(items.item_kind, '_', ' ')
            || ') from the stock of ' || moved.location_id || ' to no case.'"
    ) }}
from {{ ref("int_stock_movements") }} as moved
inner join {{ ref("int_merchandise_items") }} as items
    on moved.item_code = items.item_code
where moved.movement_kind = 'issued' and moved.case_number is null
