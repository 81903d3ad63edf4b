-- Latest estimate of a case and home beside all that was billed there, item by item.
with replaced_estimates as (
    select
        document_number,
        case_number,
        location_id,
        row_number() over (
            partition by case_number, location_id order by document_date desc, document_number desc
        ) as estimate_rank
    from {{ ref("int_statement_documents") }}
    where document_kind = 'estimate'
),

compared as (
    select
        lines.case_number,
        lines.location_id,
        -- A line without a code, such as a discount, is known by what the family reads.
        coalesce(lines.item_code, lines.category || ': ' || lower(trim(lines.description))) as item_key,
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
    left join replaced_estimates
        on
            lines.document_number = replaced_estimates.document_number
            and lines.case_number = replaced_estimates.case_number
            and lines.location_id = replaced_estimates.location_id
            and lines.document_kind = 'estimate'
            and replaced_estimates.estimate_rank > 1
    where replaced_estimates.document_number is null
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
