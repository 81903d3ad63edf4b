{% set grace_days = 30 %}

with unbilled as (
    select deliveries.*
    from {{ ref("int_deliveries") }} as deliveries
    where
        deliveries.received_quantity > deliveries.billed_quantity
        and {{ add_days("deliveries.received_date", grace_days) }} < cast({{ as_of() }} as date)
        and not exists (
            select 1
            from {{ ref("stg_held_supplier_bill_lines") }} as held
            where
                coalesce(held.delivery_document = deliveries.delivery_document, true)
                and held.item_code = deliveries.item_code
        )
),

receipts as (
    select
        moved.*,
        row_number() over (
            partition by moved.document_number, moved.item_code order by moved.occurred_at, moved.movement_id
        ) as receipt_rank
    from {{ ref("int_stock_movements") }} as moved
    inner join unbilled
        on moved.document_number = unbilled.delivery_document and moved.item_code = unbilled.item_code
    where moved.movement_kind = 'received'
)

select
    {{ finding(
        "received_not_billed",
        case_number="null",
        location_id="receipts.location_id",
        occurred_at="receipts.occurred_at",
        a="receipts",
        feed_a="supply_movements",
        measured_value="unbilled.received_quantity",
        limit_value="unbilled.billed_quantity",
        value_unit="units of the item",
        detail="'Delivery ' || unbilled.delivery_document || ': ' || " ~ quantity_text("unbilled.received_quantity") ~ "
            || ' of item ' || unbilled.item_code || ' received, ' || " ~ quantity_text("unbilled.billed_quantity") ~ "
            || ' billed by the supplier.'"
    ) }}
from unbilled
inner join receipts
    on
        unbilled.delivery_document = receipts.document_number
        and unbilled.item_code = receipts.item_code
        and receipts.receipt_rank = 1
