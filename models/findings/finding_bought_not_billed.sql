-- Bought for one family and billed to none: an advance or a special order that the group pays itself. What entered the
-- stock or was issued is told by the movements; what another price covers is billed with it; a held invoice line could
-- be the one that is missing.
{% set grace_days = 30 %}

with bought as (
    select
        bills.*,
        sum(bills.line_total) over (partition by bills.case_number, bills.item_code) as paid,
        sum(bills.quantity) over (partition by bills.case_number, bills.item_code) as bought_quantity,
        row_number() over (
            partition by bills.case_number, bills.item_code
            order by bills.bill_date, bills.supplier_code, bills.bill_number, bills.line_number
        ) as line_rank
    from {{ ref("int_supplier_bill_lines") }} as bills
    where bills.case_number is not null and bills.item_code is not null
)

select
    {{ finding(
        "bought_not_billed",
        case_number="bought.case_number",
        location_id="coalesce(cases.location_id, bought.location_id)",
        occurred_at="cast(bought.bill_date as timestamp)",
        a="bought", feed_a="supplier_bill_lines",
        measured_value="bought.paid",
        limit_value="0",
        value_unit="usd",
        detail="'Bill ' || bought.bill_number || ' of ' || bought.supplier_code || ' charges ' || "
            ~ price_text("bought.paid") ~ " || ' for ' || bought.item_code || ' to case ' || bought.case_number
            || ', and no invoice bills it to the family.'"
    ) }}
from bought
left join {{ ref("int_cases") }} as cases
    on bought.case_number = cases.case_number
where
    bought.line_rank = 1
    and bought.bought_quantity > 0
    and bought.paid > 0
    and (
        coalesce(cases.case_status = 'closed', false)
        or {{ add_days("bought.bill_date", grace_days) }} < cast({{ as_of() }} as date)
    )
    and not exists (
        select 1
        from {{ ref("int_statement_lines") }} as lines
        where
            lines.document_kind = 'invoice'
            and lines.case_number = bought.case_number
            and (
                lines.item_code = bought.item_code
                -- An advance without a code is known by its amount.
                or (lines.item_code is null and {{ is_advance("lines") }} and lines.line_total >= bought.paid)
            )
    )
    and not exists (
        select 1
        from {{ ref("stg_held_statement_lines") }} as held
        where held.case_number = bought.case_number and (held.item_code = bought.item_code or held.item_code is null)
    )
    and not exists (
        select 1
        from {{ ref("int_merchandise_billed") }} as covered
        where covered.case_number = bought.case_number and covered.item_code = bought.item_code
    )
    and not exists (
        select 1
        from {{ ref("int_stock_movements") }} as moved
        where
            moved.item_code = bought.item_code
            and (
                (moved.movement_kind = 'received' and moved.document_number = bought.delivery_document)
                or (moved.movement_kind = 'issued' and moved.case_number = bought.case_number)
            )
    )
