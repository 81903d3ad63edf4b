-- The estimates of a case and home that count beside all that was billed there, item by item.
with compared as (
    select
        lines.case_number,
        coalesce(estimates.bill_location_id, lines.location_id) as location_id,
        {{ bill_item("lines") }} as item_key,
        case
            when lines.category = 'tax' then 'tax'
            when {{ is_advance("lines") }} then 'cash advance'
            when lines.category = 'discount' then 'discount'
            else 'goods and services'
        end as part,
        lines.item_code,
        lines.category,
        lines.document_kind = 'estimate' as is_estimate,
        lines.quantity,
        lines.unit_price,
        lines.line_total
    from {{ ref("int_statement_lines") }} as lines
    left join {{ ref("int_estimates") }} as estimates
        on
            lines.document_kind = 'estimate'
            and lines.document_number = estimates.document_number
            and lines.case_number = estimates.case_number
            and lines.location_id = estimates.location_id
    where lines.document_kind <> 'estimate' or estimates.document_number is not null
)

select
    case_number,
    location_id,
    item_key,
    part,
    max(item_code) as item_code,
    min(category) as category,
    max(case when is_estimate then unit_price end) as estimated_unit_price,
    {{ as_money("sum(case when is_estimate then line_total end)") }} as estimated_amount,
    count(case when not is_estimate then 1 end) > 0 as is_billed,
    {{ as_quantity("coalesce(sum(case when not is_estimate then quantity end), 0)") }} as billed_quantity,
    {{ as_money("coalesce(sum(case when not is_estimate then line_total end), 0)") }} as billed_amount
from compared
group by case_number, location_id, item_key, part
