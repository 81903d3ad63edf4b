-- Money given back for what was never charged. A payment or a discount that is written as a credit takes nothing from
-- an item. Of several credits the one that goes beyond what was invoiced is told. A held invoice line could be the one.
with lines as (
    select *
    from {{ ref("int_statement_lines") }}
),

billed as (
    select
        case_number,
        item_code,
        sum(case when document_kind = 'invoice' then line_total else 0 end) as invoiced_amount,
        sum(case when document_kind = 'credit' then line_total else 0 end) as credited_amount
    from lines
    where {{ is_billed("document_kind") }} and item_code is not null
    group by case_number, item_code
),

credits as (
    select
        lines.*,
        billed.invoiced_amount,
        billed.credited_amount,
        billed.invoiced_amount + sum(lines.line_total) over (
            partition by lines.case_number, lines.item_code
            order by lines.document_date, lines.document_number, lines.line_number
            rows between unbounded preceding and current row
        ) as left_amount,
        lines.corrects_document is not null and not exists (
            select 1
            from lines as invoices
            where
                invoices.document_kind = 'invoice'
                and invoices.case_number = lines.case_number
                and invoices.document_number = lines.corrects_document
        ) as names_no_invoice
    from lines
    left join billed
        on lines.case_number = billed.case_number and lines.item_code = billed.item_code
    where lines.document_kind = 'credit' and lines.category not in ('discount', 'other')
),

unfounded as (
    select
        *,
        coalesce(left_amount < 0, false) as is_more_than_billed,
        row_number() over (
            partition by case_number, document_number
            order by
                case when left_amount < 0 then 0 else 1 end, line_total, line_number
        ) as line_rank
    from credits
    where
        (names_no_invoice or (left_amount < 0 and left_amount - line_total >= 0))
        and not exists (
            select 1
            from {{ ref("stg_held_statement_lines") }} as held
            where
                held.case_number = credits.case_number
                or held.document_number = credits.corrects_document
        )
)

select
    {{ finding(
        "credit_unfounded",
        case_number="unfounded.case_number",
        location_id="unfounded.location_id",
        occurred_at="cast(unfounded.document_date as timestamp)",
        a="unfounded", feed_a="statement_lines",
        measured_value="-unfounded.line_total",
        limit_value="unfounded.invoiced_amount",
        value_unit="usd",
        detail="'Credit ' || unfounded.document_number || ' takes off ' || " ~ price_text("-unfounded.line_total")
            ~ " || ' for ' || coalesce(unfounded.item_code, unfounded.category) || case
                when unfounded.is_more_than_billed
                    then '; in all ' || " ~ price_text("-unfounded.credited_amount") ~ " || ' is credited of '
                        || " ~ price_text("unfounded.invoiced_amount") ~ " || ' that was invoiced to the case.'
                else '; invoice ' || unfounded.corrects_document || ', which it names, is none of the case.'
            end"
    ) }}
from unfounded
where unfounded.line_rank = 1
