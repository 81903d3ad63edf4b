-- Estimates that a bill is held against, by case and home. A later one takes the place of one before that has an item
-- in common with it, or of all before if it is a whole funeral; what only adds items stands beside them. One from after
-- the first invoice was told to nobody before the bill: it counts where there is no other. Where one home alone bills
-- and quoted nothing, its bill is held against what another quoted.
with homes as (
    select
        case_number,
        location_id,
        min(case when document_kind = 'invoice' then document_date end) as first_invoice_date,
        count(case when document_kind = 'estimate' then 1 end) as estimate_count
    from {{ ref("int_statement_documents") }}
    group by case_number, location_id
),

only_billers as (
    select
        case_number,
        min(location_id) as location_id
    from homes
    where first_invoice_date is not null
    group by case_number
    having count(*) = 1 and sum(estimate_count) = 0
),

estimates as (
    select
        documents.document_number,
        documents.case_number,
        documents.location_id,
        documents.document_date,
        coalesce(only_billers.location_id, documents.location_id) as bill_location_id
    from {{ ref("int_statement_documents") }} as documents
    left join only_billers
        on documents.case_number = only_billers.case_number
    where
        documents.document_kind = 'estimate'
        -- Of one number with an invoice of the case: a line of that invoice, marked wrongly.
        and not exists (
            select 1
            from {{ ref("int_statement_documents") }} as invoices
            where
                invoices.document_kind = 'invoice'
                and invoices.document_number = documents.document_number
                and invoices.case_number = documents.case_number
        )
),

dated as (
    select
        estimates.*,
        coalesce(estimates.document_date > homes.first_invoice_date, false) as is_after_bill,
        min(case when estimates.document_date > homes.first_invoice_date then 1 else 0 end) over (
            partition by estimates.case_number, estimates.bill_location_id
        ) as are_all_after_bill,
        -- Numbers count as a clerk counts: 10 comes after 9.
        row_number() over (
            partition by estimates.case_number, estimates.bill_location_id
            order by estimates.document_date, length(estimates.document_number), estimates.document_number
        ) as turn
    from estimates
    left join homes
        on estimates.case_number = homes.case_number and estimates.bill_location_id = homes.location_id
),

told_before as (
    select *
    from dated
    where not is_after_bill or are_all_after_bill = 1
),

items as (
    select distinct
        told_before.case_number,
        told_before.bill_location_id,
        told_before.turn,
        {{ bill_item("lines") }} as item_key,
        lines.category = 'basic_services_fee' or lines.category in {{ categories_with_basic_fee() }} as is_whole
    from told_before
    inner join {{ ref("int_statement_lines") }} as lines
        on
            told_before.document_number = lines.document_number
            and told_before.case_number = lines.case_number
            and told_before.location_id = lines.location_id
            and lines.document_kind = 'estimate'
),

replaced as (
    select distinct
        earlier.case_number,
        earlier.bill_location_id,
        earlier.turn
    from items as earlier
    inner join items as later
        on
            earlier.case_number = later.case_number
            and earlier.bill_location_id = later.bill_location_id
            and earlier.turn < later.turn
            and (later.is_whole or earlier.item_key = later.item_key)
)

select
    told_before.document_number,
    told_before.case_number,
    told_before.location_id,
    told_before.bill_location_id,
    told_before.document_date,
    told_before.turn
from told_before
left join replaced
    on
        told_before.case_number = replaced.case_number
        and told_before.bill_location_id = replaced.bill_location_id
        and told_before.turn = replaced.turn
where replaced.turn is null
