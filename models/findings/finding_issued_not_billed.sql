select
    {{ finding(
        "issued_not_billed",
        case_number="goods.case_number",
        location_id="goods.location_id",
        occurred_at="issued.occurred_at",
        a="issued",
        feed_a="supply_movements",
        measured_value="goods.issued_quantity",
        limit_value="0",
        value_unit="each",
        detail="'Item ' || goods.item_code || ' is issued to case ' || goods.case_number || ' by '
            || issued.record_name || ' at a cost of '
            || case when goods.issued_cost is null then 'unknown' else " ~ price_text("goods.issued_cost") ~ " end
            || case
                when billed.record_name is not null then '; what ' || billed.record_name || ' billed was credited.'
                else '; no invoice line bills it.'
            end"
    ) }}
from {{ ref("int_merchandise_differences") }} as goods
inner join {{ ref("int_merchandise_records") }} as issued
    on goods.case_number = issued.case_number and goods.item_code = issued.item_code and issued.side = 'issued'
left join {{ ref("int_merchandise_records") }} as billed
    on goods.case_number = billed.case_number and goods.item_code = billed.item_code and billed.side = 'billed'
where goods.match_state = 'issued not billed'
