{% set grace_days = 30 %}

with bills as (
    select
        *,
        row_number() over (
            partition by delivery_document, item_code order by bill_date, supplier_code, bill_number, line_number
        ) as bill_rank
    from {{ ref("stg_supplier_bill_lines") }}
    where delivery_document is not null
)

select
    {{ finding(
        "billed_not_received",
        case_number="bills.case_number",
        location_id="bills.location_id",
        occurred_at="cast(bills.bill_date as timestamp)",
        a="bills",
        feed_a="supplier_bill_lines",
        measured_value="deliveries.billed_quantity",
        limit_value="deliveries.received_quantity",
        value_unit="units of the item",
        detail="'Bill ' || bills.bill_number || ' of ' || bills.supplier_code || ' for delivery '
            || deliveries.delivery_document || ': ' || " ~ quantity_text("deliveries.billed_quantity") ~ " || ' of item '
            || deliveries.item_code || ' billed, ' || " ~ quantity_text("deliveries.received_quantity") ~ " || ' received.'"
    ) }}
from {{ ref("int_deliveries") }} as deliveries
inner join bills
    on
        deliveries.delivery_document = bills.delivery_document
        and deliveries.item_code = bills.item_code
        and bills.bill_rank = 1
where
    deliveries.billed_quantity > deliveries.received_quantity
    and {{ add_days("deliveries.bill_date", grace_days) }} < cast({{ as_of() }} as date)
    and not exists (
        select 1
        from {{ ref("stg_held_supply_movements") }} as held
        where
            held.item_code = deliveries.item_code
            and coalesce(held.document_number = deliveries.delivery_document, true)
            and coalesce(held.movement_kind = 'received', true)
    )
