-- Why a family's bill is not its estimate: each item of either, of cases and homes that have both.
with bills as (
    select distinct
        case_number,
        location_id
    from {{ ref("int_statement_documents") }}
    where document_kind = 'invoice'
),

estimates as (
    select
        case_number,
        bill_location_id as location_id,
        max(document_date) as estimate_date
    from {{ ref("int_estimates") }}
    group by case_number, bill_location_id
),

items as (
    select
        items.*,
        estimates.estimate_date,
        items.billed_amount - coalesce(items.estimated_amount, 0) as difference,
        coalesce(cases.case_status = 'closed', false) as is_closed
    from {{ ref("int_bill_items") }} as items
    inner join bills
        on items.case_number = bills.case_number and items.location_id = bills.location_id
    inner join estimates
        on items.case_number = estimates.case_number and items.location_id = estimates.location_id
    left join {{ ref("int_cases") }} as cases
        on items.case_number = cases.case_number and not cases.is_held
)

select
    items.case_number,
    items.location_id,
    items.item_key,
    items.part,
    items.item_code,
    items.category,
    items.estimate_date,
    items.is_closed,
    items.estimated_amount,
    items.billed_amount,
    {{ as_money("items.difference") }} as difference,
    case
        when items.difference = 0 then 'as estimated'
        when items.part in ('cash advance', 'tax') then items.part
        when items.estimated_amount is null then 'added'
        when not items.is_billed then 'not billed'
        when coalesce(excesses.excess, 0) <> 0 then 'other price'
        else 'other quantity'
    end as reason,
    {{ as_money("coalesce(excesses.excess, 0)") }} as price_difference
from items
left join {{ ref("int_estimate_excess") }} as excesses
    on
        items.case_number = excesses.case_number
        and items.location_id = excesses.location_id
        and items.item_key = excesses.item_key
        and (items.part = 'discount') = excesses.is_discount
        and items.part in ('discount', 'goods and services')
        and items.is_billed
