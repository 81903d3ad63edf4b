select
    {{ finding(
        "merchandise_swapped",
        case_number="goods.case_number",
        location_id="goods.location_id",
        occurred_at="issued.occurred_at",
        a="billed",
        feed_a="statement_lines",
        b="issued",
        feed_b="supply_movements",
        measured_value="goods.billed_quantity",
        value_unit="each",
        detail="'Item ' || goods.item_code || ' is billed to case ' || goods.case_number || ' by '
            || billed.record_name || ' and item ' || goods.swapped_item_code || ' of the same kind is issued by '
            || issued.record_name || ' instead.'"
    ) }}
from {{ ref("int_merchandise_differences") }} as goods
inner join {{ ref("int_merchandise_records") }} as billed
    on goods.case_number = billed.case_number and goods.item_code = billed.item_code and billed.side = 'billed'
inner join {{ ref("int_merchandise_records") }} as issued
    on
        goods.case_number = issued.case_number
        and goods.swapped_item_code = issued.item_code
        and issued.side = 'issued'
where goods.match_state = 'swapped' and goods.billed_quantity > 0
