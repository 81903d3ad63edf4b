-- Two part bills that add up to the estimate, or that bill different items, are one bill in two parts;
-- a bill that was credited is none.
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
        later.case_number,
        later.location_id,
        later.document_number,
        later.document_date,
        later.first_line_number,
        later.net_total,
        earlier.document_number as earlier_document_number,
        earlier.document_date as earlier_document_date,
        earlier.first_line_number as earlier_line_number,
        earlier.location_id as earlier_location_id
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
),

same_items as (
    select distinct
        pairs.document_number,
        pairs.earlier_document_number
    from pairs
    inner join {{ ref("int_statement_lines") }} as lines
        on pairs.document_number = lines.document_number
    inner join {{ ref("int_statement_lines") }} as earlier_lines
        on pairs.earlier_document_number = earlier_lines.document_number and lines.item_code = earlier_lines.item_code
),

ranked_pairs as (
    select
        pairs.*,
        row_number() over (
            partition by pairs.case_number, pairs.document_number
            order by pairs.earlier_document_date, pairs.earlier_document_number
        ) as pair_rank
    from pairs
    inner join same_items
        on
            pairs.document_number = same_items.document_number
            and pairs.earlier_document_number = same_items.earlier_document_number
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
        detail="'Case ' || pairs.case_number || ' is billed ' || " ~ price_text("pairs.net_total") ~ " || ' by document '
            || pairs.document_number || ' of ' || pairs.location_id || ' and the same by document '
            || pairs.earlier_document_number || ' of ' || pairs.earlier_location_id || '.'"
    ) }}
from ranked_pairs as pairs
inner join {{ ref("int_statement_lines") }} as lines
    on pairs.document_number = lines.document_number and pairs.first_line_number = lines.line_number
inner join {{ ref("int_statement_lines") }} as earlier_lines
    on
        pairs.earlier_document_number = earlier_lines.document_number
        and pairs.earlier_line_number = earlier_lines.line_number
where pairs.pair_rank = 1
