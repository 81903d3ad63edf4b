-- Of a home that quotes to most families: one whose estimates are not exported would have every case here. A bill
-- between firms is no family's; a held line could be the one that is missing.
with estimated as (
    select case_number
    from {{ ref("int_statement_lines") }}
    where document_kind = 'estimate'

    union

    select case_number
    from {{ ref("stg_held_statement_lines") }}
),

invoices as (
    select
        lines.*,
        estimated.case_number is not null as is_estimated,
        coalesce(
            cast(cases.arrangement_at as date), cast(cases.first_call_at as date), lines.document_date
        ) as begun_date,
        sum(lines.line_total) over (partition by lines.case_number) as total,
        row_number() over (
            partition by lines.case_number order by lines.document_date, lines.document_number, lines.line_number
        ) as line_rank
    from {{ ref("int_statement_lines") }} as lines
    left join estimated
        on lines.case_number = estimated.case_number
    left join {{ ref("int_cases") }} as cases
        on lines.case_number = cases.case_number
    where lines.document_kind = 'invoice' and not coalesce(cases.is_trade_call, false)
),

first_documents as (
    select
        location_id,
        min(document_date) as first_date
    from {{ ref("int_statement_lines") }}
    group by location_id
),

homes as (
    select location_id
    from invoices
    where line_rank = 1
    group by location_id
    having sum(case when is_estimated then 1 else 0 end) * 2 > count(*)
)

select
    {{ finding(
        "estimate_missing",
        case_number="invoices.case_number",
        location_id="invoices.location_id",
        occurred_at="cast(invoices.document_date as timestamp)",
        a="invoices", feed_a="statement_lines",
        measured_value="invoices.total",
        value_unit="usd",
        detail="'Case ' || invoices.case_number || ' is invoiced ' || " ~ price_text("invoices.total")
            ~ " || ', first by document ' || invoices.document_number || ', and no estimate says what the family chose.'"
    ) }}
from invoices
inner join homes
    on invoices.location_id = homes.location_id
-- What was arranged before the first exported document may have been quoted before.
inner join first_documents
    on invoices.location_id = first_documents.location_id and invoices.begun_date >= first_documents.first_date
where invoices.line_rank = 1 and not invoices.is_estimated
