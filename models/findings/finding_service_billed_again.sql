{# Services that are given once; a car, a journey or goods may be wanted again. #}
{% set once = (
    "direct_cremation", "embalming", "equipment_staff_graveside", "facilities_staff_funeral_ceremony",
    "facilities_staff_memorial_service", "facilities_staff_viewing", "forwarding_remains", "immediate_burial",
    "receiving_remains", "transfer_of_remains"
) %}

-- On two invoices of a home, and more in all than the estimate has: two halves of what was agreed are one charge, and
-- what was credited is none.
with lines as (
    select
        *,
        row_number() over (
            partition by case_number, location_id, item_code order by document_date, document_number, line_number
        ) as line_rank
    from {{ ref("int_statement_lines") }}
    where document_kind = 'invoice' and quantity > 0 and item_code is not null and category in {{ once }}
),

repeated as (
    select
        lines.case_number,
        lines.location_id,
        lines.item_code,
        max(lines.line_rank) as last_rank,
        max(items.billed_amount) as billed_amount,
        coalesce(max(items.estimated_amount), 0) as estimated_amount
    from lines
    inner join {{ ref("int_bill_items") }} as items
        on
            lines.case_number = items.case_number
            and lines.location_id = items.location_id
            and lines.item_code = items.item_code
            and items.part = 'goods and services'
    group by lines.case_number, lines.location_id, lines.item_code
    having
        count(distinct lines.document_number) > 1
        and max(items.billed_quantity) > 1
        and max(items.billed_amount) > coalesce(max(items.estimated_amount), 0)
)

select
    {{ finding(
        "service_billed_again",
        case_number="repeated.case_number",
        location_id="repeated.location_id",
        occurred_at="cast(later.document_date as timestamp)",
        a="later", feed_a="statement_lines",
        b="earlier", feed_b="statement_lines",
        measured_value="repeated.billed_amount",
        limit_value="repeated.estimated_amount",
        value_unit="usd",
        detail="'Document ' || later.document_number || ' bills ' || repeated.item_code || ' again, which document '
            || earlier.document_number || ' bills; together ' || " ~ price_text("repeated.billed_amount")
            ~ " || ', on the estimate ' || " ~ price_text("repeated.estimated_amount") ~ " || '.'"
    ) }}
from repeated
inner join lines as later
    on
        repeated.case_number = later.case_number
        and repeated.location_id = later.location_id
        and repeated.item_code = later.item_code
        and repeated.last_rank = later.line_rank
inner join lines as earlier
    on
        repeated.case_number = earlier.case_number
        and repeated.location_id = earlier.location_id
        and repeated.item_code = earlier.item_code
        and earlier.line_rank = 1
