-- Latest estimate of a case and home against all that was billed there, item by item.
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
        lines.category = 'discount' as is_discount,
        lines.document_kind = 'estimate' as is_estimate,
        lines.quantity,
        lines.unit_price,
        lines.line_total
    from {{ ref("int_statement_lines") }} as lines
    left join replaced_estimates
        on
            lines.document_number = replaced_estimates.document_number
            and replaced_estimates.estimate_rank > 1
    where
        replaced_estimates.document_number is null
        -- Cash advances are estimated in good faith, 16 CFR 453.2(b)(5)(B); tax follows the amounts.
        and lines.category <> 'tax'
        and not {{ is_advance("lines") }}
),

items as (
    select
        case_number,
        location_id,
        item_key,
        is_discount,
        max(case when is_estimate then unit_price end) as estimated_unit_price,
        {{ as_money("sum(case when is_estimate then line_total end)") }} as estimated_amount,
        {{ as_quantity("coalesce(sum(case when not is_estimate then quantity end), 0)") }} as billed_quantity,
        {{ as_money("coalesce(sum(case when not is_estimate then line_total end), 0)") }} as billed_amount
    from compared
    group by case_number, location_id, item_key, is_discount
    having sum(case when is_estimate then line_total end) is not null
)

select
    case_number,
    location_id,
    item_key,
    is_discount,
    estimated_unit_price,
    estimated_amount,
    billed_quantity,
    billed_amount,
    -- More of an item at the price that was quoted is an item added knowingly; a higher price is not.
    case
        when is_discount then billed_amount - estimated_amount
        else billed_amount - {{ as_money(product("billed_quantity", "estimated_unit_price")) }}
    end as excess
from items
where
    (is_discount and billed_amount <> estimated_amount)
    or (
        not is_discount
        and billed_quantity > 0
        and billed_amount <> {{ as_money(product("billed_quantity", "estimated_unit_price")) }}
    )
