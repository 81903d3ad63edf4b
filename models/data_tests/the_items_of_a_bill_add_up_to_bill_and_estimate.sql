-- Item by item the bill less the estimate is the sum of the invoices and credits less the estimates that count.
with estimates as (
    select
        counted.case_number,
        counted.bill_location_id as location_id,
        sum(documents.total) as total
    from {{ ref("int_estimates") }} as counted
    inner join {{ ref("int_statement_documents") }} as documents
        on
            counted.document_number = documents.document_number
            and counted.case_number = documents.case_number
            and counted.location_id = documents.location_id
            and documents.document_kind = 'estimate'
    group by counted.case_number, counted.bill_location_id
),

bills as (
    select
        case_number,
        location_id,
        sum(total) as total
    from {{ ref("int_statement_documents") }}
    where document_kind <> 'estimate'
    group by case_number, location_id
),

items as (
    select
        case_number,
        location_id,
        sum(difference) as difference,
        count(*) as item_count,
        count(difference) as known_count
    from {{ ref("bill_against_estimate") }}
    group by case_number, location_id
)

select
    items.case_number,
    items.location_id,
    items.difference,
    bills.total - estimates.total as document_difference
from items
inner join estimates
    on
        items.case_number = estimates.case_number
        and items.location_id = estimates.location_id
inner join bills
    on items.case_number = bills.case_number and items.location_id = bills.location_id
where
    items.difference <> bills.total - estimates.total
    and items.item_count = items.known_count
