{% set grace_days = 30 %}

with short as (
    select deliveries.*
    from {{ ref("int_deliveries") }} as deliveries
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
),

bills as (
    select
        records.*,
        row_number() over (
            partition by records.delivery_document, records.item_code
            order by records.bill_date, records.supplier_code, records.bill_number, records.line_number
        ) as bill_rank
    from {{ ref("int_supplier_bill_lines") }} as records
    inner join short
        on records.delivery_document = short.delivery_document and records.item_code = short.item_code
)

select
    {{ finding(
        "billed_not_received",
        case_number="bills.case_number",
        location_id="bills.location_id",
        occurred_at="cast(bills.bill_date as timestamp)",
        a="bills",
        feed_a="supplier_bill_lines",
        measured_value="short.billed_quantity",
        limit_value="short.received_quantity",
        value_unit="units of the item",
        detail="'Bill ' || bills.bill_number || ' of ' || bills.supplier_code || ' for delivery '
            || short.delivery_document || ': ' || " ~ quantity_text("short.billed_quantity") ~ " || ' of item '
            || short.item_code || ' billed, ' || " ~ quantity_text("short.received_quantity") ~ " || ' received.'"
    ) }}
from short
inner join bills
    on
        short.delivery_document = bills.delivery_document
        and short.item_code = bills.item_code
        and bills.bill_rank = 1
