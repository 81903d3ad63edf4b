select
    {{ finding(
        "billed_not_issued",
        case_number="goods.case_number",
        location_id="goods.location_id",
        occurred_at="billed.occurred_at",
        a="billed",
        feed_a="statement_lines",
        measured_value="goods.billed_quantity",
        limit_value="0",
        value_unit="each",
        detail="'Item ' || goods.item_code || ' is billed for ' || " ~ price_text("goods.billed_amount") ~ "
            || ' by ' || billed.record_name || case
                when issued.record_name is not null
                    then '; what ' || issued.record_name || ' issued to case ' || goods.case_number || ' was returned.'
                else '; no movement issues it to case ' || goods.case_number || '.'
            end"
    ) }}
from {{ ref("int_merchandise_differences") }} as goods
inner join {{ ref("int_merchandise_records") }} as billed
    on goods.case_number = billed.case_number and goods.item_code = billed.item_code and billed.side = 'billed'
left join {{ ref("int_merchandise_records") }} as issued
    on goods.case_number = issued.case_number and goods.item_code = issued.item_code and issued.side = 'issued'
where goods.match_state = 'billed not issued'
