-- 16 CFR 453.2(b)(4)(iii)(C)(1): direct cremation, immediate burial, forwarding and receiving already
-- hold the basic services fee. Per case and home, net of credits.
with lines as (
    select
        *,
        category = 'basic_services_fee' as is_basic
    from {{ ref("int_statement_lines") }}
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
),

twice as (
    select *
    from sums
    where basic_quantity > 1 or (basic_quantity > 0 and inclusive_quantity > 0)
),

first_lines as (
    select
        lines.*,
        row_number() over (
            partition by lines.case_number, lines.location_id, lines.is_basic
            order by lines.document_date, lines.document_number, lines.line_number
        ) as line_rank
    from lines
    inner join twice
        on lines.case_number = twice.case_number and lines.location_id = twice.location_id
    where lines.document_kind = 'invoice'
)

select
    {{ finding(
        "basic_fee_twice",
        case_number="twice.case_number",
        location_id="twice.location_id",
        occurred_at="cast(fees.document_date as timestamp)",
        a="fees",
        feed_a="statement_lines",
        b="others",
        feed_b="statement_lines",
        measured_value="twice.basic_quantity + twice.inclusive_quantity",
        limit_value="1",
        value_unit="fees",
        detail="'Document ' || fees.document_number || ' bills the basic services fee to case ' || twice.case_number
            || case
                when twice.inclusive_quantity > 0
                    then ', which document ' || others.document_number || ' bills already within '
                        || replace(others.category, '_', ' ') || '.'
                else ', ' || " ~ quantity_text("twice.basic_quantity") ~ " || ' times in all.'
            end"
    ) }}
from twice
inner join first_lines as fees
    on
        twice.case_number = fees.case_number
        and twice.location_id = fees.location_id
        and fees.is_basic
        and fees.line_rank = 1
left join first_lines as others
    on
        twice.inclusive_quantity > 0
        and twice.case_number = others.case_number
        and twice.location_id = others.location_id
        and not others.is_basic
        and others.line_rank = 1
