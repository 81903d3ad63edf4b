{% set grace_days = 30 %}

with receipts as (
    select
        *,
        row_number() over (
            partition by document_number, item_code order by occurred_at, movement_id
        ) as receipt_rank
    from {{ ref("int_stock_movements") }}
    where movement_kind = 'received' and document_number is not null
)

select
    {{ finding(
        "received_not_billed",
        case_number="null",
        location_id="receipts.location_id",
        occurred_at="receipts.occurred_at",
        a="receipts",
        feed_a="supply_movements",
        measured_value="deliveries.received_quantity",
        limit_value="deliveries.billed_quantity",
        value_unit="units of the item",
        detail="'Delivery ' || deliveries.delivery_document || ': ' || " ~ quantity_text("deliveries.received_quantity") ~ "
            || ' of item ' || deliveries.item_code || ' received, ' || " ~ quantity_text("deliveries.billed_quantity") ~ "
            || ' billed by the supplier.'"
    ) }}
from {{ ref("int_deliveries") }} as deliveries
inner join receipts
    on
        deliveries.delivery_document = receipts.document_number
        and deliveries.item_code = receipts.item_code
        and receipts.receipt_rank = 1
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
