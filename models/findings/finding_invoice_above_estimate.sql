with excesses as (
    select
        items.*,
        sum(items.excess) over (partition by items.case_number, items.location_id) as case_excess,
        row_number() over (
            partition by items.case_number, items.location_id order by items.excess desc, items.item_key asc
        ) as item_rank
    from {{ ref("int_estimate_excess") }} as items
    left join {{ ref("int_cases") }} as cases
        on items.case_number = cases.case_number and not cases.is_held
    -- A discount may still come with the last invoice of an open case.
    where not items.is_discount or items.billed_amount <> 0 or coalesce(cases.case_status = 'closed', false)
),

worst as (
    select *
    from excesses
    where item_rank = 1 and case_excess > 0
),

lines as (
    select
        statements.*,
        worst.case_excess,
        worst.item_key,
        row_number() over (
            partition by statements.case_number, statements.location_id, statements.document_kind
            order by
                case
                    when coalesce(
                        statements.item_code, statements.category || ': ' || lower(trim(statements.description))
                    ) = worst.item_key then 0
                    else 1
                end asc,
                case when statements.document_kind = 'estimate' then statements.document_date end desc,
                case when statements.document_kind = 'estimate' then statements.document_number end desc,
                statements.document_date asc,
                statements.document_number asc,
                statements.line_number asc
        ) as line_rank
    from {{ ref("int_statement_lines") }} as statements
    inner join worst
        on statements.case_number = worst.case_number and statements.location_id = worst.location_id
    where statements.document_kind in ('estimate', 'invoice')
)

select
    {{ finding(
        "invoice_above_estimate",
        case_number="billed.case_number",
        location_id="billed.location_id",
        occurred_at="cast(billed.document_date as timestamp)",
        a="billed",
        feed_a="statement_lines",
        b="estimated",
        feed_b="statement_lines",
        measured_value="billed.case_excess",
        limit_value="0",
        value_unit="usd",
        detail="'Invoices to case ' || billed.case_number || ' are ' || " ~ number_text("billed.case_excess", 2) ~ "
            || ' above estimate ' || estimated.document_number || ' for the same items, most of all item '
            || coalesce(estimated.item_code, estimated.category) || ' of document ' || billed.document_number || '.'"
    ) }}
from lines as billed
inner join lines as estimated
    on
        billed.case_number = estimated.case_number
        and billed.location_id = estimated.location_id
        and estimated.document_kind = 'estimate'
        and estimated.line_rank = 1
where billed.document_kind = 'invoice' and billed.line_rank = 1
