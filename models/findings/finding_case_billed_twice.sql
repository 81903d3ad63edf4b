-- Two part bills that add up to the estimate are one bill in two parts; a credited bill is none.
with invoices as (
    select *
    from {{ ref("int_statement_documents") }}
    where document_kind = 'invoice' and net_total > 0
),

estimates as (
    select
        case_number,
        max(total) as total
    from {{ ref("int_statement_documents") }}
    where document_kind = 'estimate'
    group by case_number
),

pairs as (
    select
        later.*,
        earlier.document_number as earlier_document_number,
        earlier.first_line_number as earlier_line_number,
        earlier.location_id as earlier_location_id,
        row_number() over (
            partition by later.case_number, later.document_number
            order by earlier.document_date, earlier.document_number
        ) as pair_rank
    from invoices as later
    inner join invoices as earlier
        on
            later.case_number = earlier.case_number
            and later.net_total = earlier.net_total
            and later.location_id <> earlier.location_id
            and (
                later.document_date > earlier.document_date
                or (later.document_date = earlier.document_date and later.document_number > earlier.document_number)
            )
    left join estimates
        on later.case_number = estimates.case_number
    where later.net_total + earlier.net_total > coalesce(estimates.total, 0)
)

select
    {{ finding(
        "case_billed_twice",
        case_number="pairs.case_number",
        location_id="pairs.location_id",
        occurred_at="cast(pairs.document_date as timestamp)",
        a="lines",
        feed_a="statement_lines",
        b="earlier_lines",
        feed_b="statement_lines",
        measured_value="pairs.net_total",
        value_unit="usd",
        detail="'Case ' || pairs.case_number || ' is billed ' || cast(pairs.net_total as varchar) || ' by document '
            || pairs.document_number || ' of ' || pairs.location_id || ' and the same by document '
            || pairs.earlier_document_number || ' of ' || pairs.earlier_location_id || '.'"
    ) }}
from pairs
inner join {{ ref("stg_statement_lines") }} as lines
    on pairs.document_number = lines.document_number and pairs.first_line_number = lines.line_number
inner join {{ ref("stg_statement_lines") }} as earlier_lines
    on
        pairs.earlier_document_number = earlier_lines.document_number
        and pairs.earlier_line_number = earlier_lines.line_number
where pairs.pair_rank = 1
