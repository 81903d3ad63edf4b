{# Services that are given once; a car, a journey or goods may be wanted again. #}
{% set once = (
    "direct_cremation", "embalming", "equipment_staff_graveside", "facilities_staff_funeral_ceremony",
    "facilities_staff_memorial_service", "facilities_staff_viewing", "forwarding_remains", "immediate_burial",
    "receiving_remains", "transfer_of_remains"
) %}

-- Billed twice, by one home or two, and more in all than the estimate has: two halves of what was agreed are one
-- charge, and what was credited is none. Within one document only the same line twice: two transfers are two journeys.
with lines as (
    select
        *,
        row_number() over (
            partition by case_number, item_code order by document_date, document_number, line_number
        ) as line_rank
    from {{ ref("int_statement_lines") }}
    where document_kind = 'invoice' and quantity > 0 and item_code is not null and category in {{ once }}
),

bills as (
    select
        case_number,
        item_code,
        sum(billed_quantity) as billed_quantity,
        sum(billed_amount) as billed_amount,
        coalesce(sum(estimated_amount), 0) as estimated_amount
    from {{ ref("int_bill_items") }}
    where part = 'goods and services' and item_code is not null
    group by case_number, item_code
),

repeated as (
    select
        lines.case_number,
        lines.item_code,
        max(lines.line_rank) as last_rank,
        max(bills.billed_amount) as billed_amount,
        max(bills.estimated_amount) as estimated_amount
    from lines
    inner join bills
        on lines.case_number = bills.case_number and lines.item_code = bills.item_code
    group by lines.case_number, lines.item_code
    having
        (
            count(distinct lines.document_number) > 1
            or (
                count(*) > 1
                and min(lines.unit_price) = max(lines.unit_price)
                and min(lines.category) <> 'transfer_of_remains'
            )
        )
        and max(bills.billed_quantity) > 1
        and max(bills.billed_amount) > max(bills.estimated_amount)
)

select
    {{ finding(
        "service_billed_again",
        case_number="repeated.case_number",
        location_id="later.location_id",
        occurred_at="cast(later.document_date as timestamp)",
        a="later", feed_a="statement_lines",
        b="earlier", feed_b="statement_lines",
        measured_value="repeated.billed_amount",
        limit_value="repeated.estimated_amount",
        value_unit="usd",
        detail="'Document ' || later.document_number || ' bills ' || repeated.item_code || ' again, which ' || case
                when later.document_number = earlier.document_number
                    then 'its line ' || cast(earlier.line_number as varchar)
                when later.location_id = earlier.location_id then 'document ' || earlier.document_number
                else 'document ' || earlier.document_number || ' of ' || earlier.location_id
            end || ' bills; together ' || " ~ price_text("repeated.billed_amount")
            ~ " || ', on the estimate ' || " ~ price_text("repeated.estimated_amount") ~ " || '.'"
    ) }}
from repeated
inner join lines as later
    on
        repeated.case_number = later.case_number
        and repeated.item_code = later.item_code
        and repeated.last_rank = later.line_rank
inner join lines as earlier
    on
        repeated.case_number = earlier.case_number
        and repeated.item_code = earlier.item_code
        and earlier.line_rank = 1
-- Whole bills of two homes that are the same are told as such.
left join {{ ref("finding_case_billed_twice") }} as whole_bills
    on repeated.case_number = whole_bills.case_number and later.location_id <> earlier.location_id
where whole_bills.case_number is null
