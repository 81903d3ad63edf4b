with sides as (
    select
        document_number as delivery_document,
        item_code,
        stock_quantity as received_quantity,
        occurred_date as received_date,
        null as billed_quantity,
        null as bill_date
    from {{ ref("int_stock_movements") }}
    where movement_kind = 'received' and document_number is not null

    union all

    select
        bills.delivery_document,
        bills.item_code,
        null as received_quantity,
        null as received_date,
        bills.quantity as billed_quantity,
        bills.bill_date
    from {{ ref("int_supplier_bill_lines") }} as bills
    inner join {{ ref("stg_supply_items") }} as items
        on bills.item_code = items.item_code
    where bills.delivery_document is not null
)

select
    delivery_document,
    item_code,
    {{ as_quantity("coalesce(sum(received_quantity), 0)") }} as received_quantity,
    min(received_date) as received_date,
    {{ as_quantity("coalesce(sum(billed_quantity), 0)") }} as billed_quantity,
    min(bill_date) as bill_date
from sides
group by delivery_document, item_code
