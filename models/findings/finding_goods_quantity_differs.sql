select
    {{ finding(
        "goods_quantity_differs",
        case_number="goods.case_number",
        location_id="goods.location_id",
        occurred_at="billed.occurred_at",
        a="billed",
        feed_a="statement_lines",
        b="issued",
        feed_b="supply_movements",
        measured_value="goods.billed_quantity",
        limit_value="goods.issued_quantity",
        value_unit="each",
        detail="'Item ' || goods.item_code || ' is billed ' || " ~ quantity_text("goods.billed_quantity")
            ~ " || ' times, from ' || billed.record_name || ', for ' || " ~ price_text("goods.billed_amount")
            ~ " || ', and issued ' || " ~ quantity_text("goods.issued_quantity")
            ~ " || ' times to case ' || goods.case_number || case
                when issued.record_name is not null then ', from ' || issued.record_name
                else ''
            end || '.'"
    ) }}
from {{ ref("int_merchandise_differences") }} as goods
inner join {{ ref("int_merchandise_records") }} as billed
    on goods.case_number = billed.case_number and goods.item_code = billed.item_code and billed.side = 'billed'
left join {{ ref("int_merchandise_records") }} as issued
    on goods.case_number = issued.case_number and goods.item_code = issued.item_code and issued.side = 'issued'
-- Whole bills of two homes that are the same are told as such.
left join {{ ref("finding_case_billed_twice") }} as whole_bills
    on goods.case_number = whole_bills.case_number
where goods.match_state = 'quantity differs' and whole_bills.case_number is null
