-- 16 CFR 453.2(b)(4)(iii)(C)(1): direct cremation, immediate burial, forwarding and receiving already
-- hold the basic services fee. Per case and home, net of credits.
with lines as (
    select
        *,
        category = 'basic_services_fee' as is_basic,
        row_number() over (
            partition by case_number, location_id, category = 'basic_services_fee', document_kind
            order by document_date, document_number, line_number
        ) as line_rank
    from {{ ref("stg_statement_lines") }}
    where
        {{ is_billed("document_kind") }}
        and (category = 'basic_services_fee' or category in {{ categories_with_basic_fee() }})
),

sums as (
    select
        case_number,
        location_id,
        coalesce(sum(case when is_basic then quantity end), 0) as basic_quantity,
        coalesce(sum(case when not is_basic then quantity end), 0) as inclusive_quantity
    from lines
    group by case_number, location_id
)

select
    {{ finding(
        "basic_fee_twice",
        case_number="sums.case_number",
        location_id="sums.location_id",
        occurred_at="cast(fees.document_date as timestamp)",
        a="fees",
        feed_a="statement_lines",
        b="others",
        feed_b="statement_lines",
        measured_value="sums.basic_quantity + sums.inclusive_quantity",
        limit_value="1",
        value_unit="fees",
        detail="'Document ' || fees.document_number || ' bills the basic services fee to case ' || sums.case_number
            || case
                when sums.inclusive_quantity > 0
                    then ', which document ' || others.document_number || ' bills already within ' || others.category || '.'
                else ', ' || " ~ quantity_text("sums.basic_quantity") ~ " || ' times in all.'
            end"
    ) }}
from sums
inner join lines as fees
    on
        sums.case_number = fees.case_number
        and sums.location_id = fees.location_id
        and fees.is_basic
        and fees.document_kind = 'invoice'
        and fees.line_rank = 1
left join lines as others
    on
        sums.inclusive_quantity > 0
        and sums.case_number = others.case_number
        and sums.location_id = others.location_id
        and not others.is_basic
        and others.document_kind = 'invoice'
        and others.line_rank = 1
where sums.basic_quantity > 1 or (sums.basic_quantity > 0 and sums.inclusive_quantity > 0)
