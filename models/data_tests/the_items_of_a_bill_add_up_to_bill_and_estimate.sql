-- Item by item the bill less the estimate is the sum of the invoices and credits less the latest estimate.
with latest_estimates as (
    select
        case_number,
        location_id,
        total,
        row_number() over (
            partition by case_number, location_id order by document_date desc, document_number desc
        ) as estimate_rank
    from {{ ref("int_statement_documents") }}
    where document_kind = 'estimate'
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
    bills.total - latest_estimates.total as document_difference
from items
inner join latest_estimates
    on
        items.case_number = latest_estimates.case_number
        and items.location_id = latest_estimates.location_id
        and latest_estimates.estimate_rank = 1
inner join bills
    on items.case_number = bills.case_number and items.location_id = bills.location_id
where
    items.difference <> bills.total - latest_estimates.total
    and items.item_count = items.known_count
