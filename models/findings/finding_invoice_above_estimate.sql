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

statements as (
    select
        lines.*,
        {{ bill_item("lines") }} as line_item_key,
        coalesce(estimates.bill_location_id, lines.location_id) as bill_location_id,
        estimates.turn
    from {{ ref("int_statement_lines") }} as lines
    left join {{ ref("int_estimates") }} as estimates
        on
            lines.document_kind = 'estimate'
            and lines.document_number = estimates.document_number
            and lines.case_number = estimates.case_number
            and lines.location_id = estimates.location_id
    where lines.document_kind = 'invoice' or estimates.document_number is not null
),

lines as (
    select
        statements.*,
        worst.case_excess,
        worst.item_key,
        row_number() over (
            partition by statements.case_number, statements.bill_location_id, statements.document_kind
            order by
                case when statements.line_item_key = worst.item_key then 0 else 1 end asc,
                statements.turn desc nulls last,
                statements.document_date asc,
                statements.document_number asc,
                statements.line_number asc
        ) as line_rank
    from statements
    inner join worst
        on statements.case_number = worst.case_number and statements.bill_location_id = worst.location_id
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
        and billed.bill_location_id = estimated.bill_location_id
        and estimated.document_kind = 'estimate'
        and estimated.line_rank = 1
where billed.document_kind = 'invoice' and billed.line_rank = 1
