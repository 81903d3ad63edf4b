{# Beyond both: a share of the list cost, and an amount on the line that is worth a call. No source sets them. #}
{% set tolerance_per_cent, tolerance_usd = 5, 1 %}

select
    {{ finding(
        "bill_price_off",
        case_number="bills.case_number",
        location_id="bills.location_id",
        occurred_at="cast(bills.bill_date as timestamp)",
        a="bills",
        feed_a="supplier_bill_lines",
        b="items",
        feed_b="supply_items",
        measured_value="bills.unit_cost",
        limit_value="items.list_cost",
        value_unit="usd",
        detail="'Bill ' || bills.bill_number || ' of ' || bills.supplier_code || ' line '
            || cast(bills.line_number as varchar) || ': item ' || bills.item_code || ' at '
            || " ~ price_text("bills.unit_cost") ~ " || ', list cost ' || " ~ price_text("items.list_cost") ~ " || '.'"
    ) }}
from {{ ref("int_supplier_bill_lines") }} as bills
inner join {{ ref("stg_supply_items") }} as items
    on bills.item_code = items.item_code
where
    {{ product("abs(bills.unit_cost - items.list_cost)", "100") }}
    > {{ product("items.list_cost", tolerance_per_cent) }}
    and {{ product("abs(bills.unit_cost - items.list_cost)", "abs(bills.quantity)") }} >= {{ tolerance_usd }}
