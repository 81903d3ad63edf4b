{% set grace_days = 30 %}

with billed as (
    select
        case_number,
        item_code,
        min(location_id) as location_id,
        coalesce(sum(case when not is_covered then quantity end), 0) as quantity,
        coalesce(sum(case when is_covered then quantity end), 0) as covered_quantity,
        sum(amount) as amount,
        min(case when document_kind = 'invoice' then document_date end) as first_date
    from {{ ref("int_merchandise_billed") }}
    group by case_number, item_code
),

issued as (
    select
        case_number,
        item_code,
        min(location_id) as location_id,
        sum(net_quantity) as quantity,
        sum(net_cost) as cost,
        min(occurred_date) as first_date
    from {{ ref("int_merchandise_issued") }}
    group by case_number, item_code
),

receipts as (
    select distinct
        document_number,
        item_code
    from {{ ref("int_stock_movements") }}
    where movement_kind = 'received' and document_number is not null
),

bought as (
    -- What a supplier bills for a case and what never entered the stock went straight to it.
    select
        bills.case_number,
        bills.item_code,
        min(bills.location_id) as location_id,
        sum(bills.quantity) as quantity,
        sum(case when receipts.item_code is null then bills.quantity else 0 end) as direct_quantity,
        sum(bills.line_total) as cost
    from {{ ref("int_supplier_bill_lines") }} as bills
    inner join {{ ref("int_merchandise_items") }} as items
        on bills.item_code = items.item_code
    left join receipts
        on bills.delivery_document = receipts.document_number and bills.item_code = receipts.item_code
    where bills.case_number is not null
    group by bills.case_number, bills.item_code
),

pairs as (
    select
        case_number,
        item_code
    from billed
    union
    select
        case_number,
        item_code
    from issued
    union
    select
        case_number,
        item_code
    from bought
),

joined as (
    select
        pairs.case_number,
        pairs.item_code,
        coalesce(billed.location_id, cases.location_id, issued.location_id, bought.location_id) as location_id,
        -- Goods that another price covers are billed at nothing as far as they were issued.
        greatest(coalesce(billed.quantity, 0), 0)
        + least(
            greatest(coalesce(billed.covered_quantity, 0), 0),
            greatest(coalesce(issued.quantity, 0) - greatest(coalesce(billed.quantity, 0), 0), 0)
        ) as billed_quantity,
        coalesce(billed.amount, 0) as billed_amount,
        coalesce(issued.quantity, 0) as issued_quantity,
        coalesce(issued.cost, 0) as issued_cost,
        coalesce(bought.quantity, 0) as bought_quantity,
        coalesce(bought.direct_quantity, 0) as direct_quantity,
        coalesce(bought.cost, 0) as bought_cost,
        coalesce(
            cases.case_status = 'closed'
            or {{ add_days("coalesce(billed.first_date, issued.first_date)", grace_days) }}
            < cast({{ as_of() }} as date),
            false
        ) as is_due
    from pairs
    left join billed
        on pairs.case_number = billed.case_number and pairs.item_code = billed.item_code
    left join issued
        on pairs.case_number = issued.case_number and pairs.item_code = issued.item_code
    left join bought
        on pairs.case_number = bought.case_number and pairs.item_code = bought.item_code
    left join {{ ref("int_cases") }} as cases
        on pairs.case_number = cases.case_number and not cases.is_held
),

given as (
    -- Bought straight for the case stands for an issue, as far as one is missing.
    select
        *,
        greatest(issued_quantity, least(billed_quantity, issued_quantity + direct_quantity)) as given_quantity
    from joined
),

compared as (
    select
        joined.*,
        items.item_kind,
        items.description,
        case
            when joined.billed_quantity > 0 and joined.given_quantity <= 0 then 'billed not issued'
            when joined.given_quantity > 0 and joined.billed_quantity <= 0 then 'issued not billed'
            when joined.billed_quantity = joined.given_quantity then 'agrees'
            when joined.billed_quantity <= 0 and joined.given_quantity <= 0 then 'agrees'
            else 'quantity differs'
        end as own_state
    from given as joined
    inner join {{ ref("int_merchandise_items") }} as items
        on joined.item_code = items.item_code
),

differences as (
    select
        case_number,
        item_code,
        item_kind,
        own_state,
        row_number() over (partition by case_number, item_kind, own_state order by item_code) as rank_in_state
    from compared
    where own_state in ('billed not issued', 'issued not billed')
),

swaps as (
    -- The nth item billed and not issued stands for the nth issued and not billed of its kind.
    select
        differences.case_number,
        differences.item_code,
        others.item_code as swapped_item_code
    from differences
    inner join differences as others
        on
            differences.case_number = others.case_number
            and differences.item_kind = others.item_kind
            and differences.rank_in_state = others.rank_in_state
            and differences.own_state <> others.own_state
)

select
    compared.case_number,
    compared.location_id,
    compared.item_code,
    compared.item_kind,
    compared.description,
    {{ as_quantity("compared.billed_quantity") }} as billed_quantity,
    {{ as_money("compared.billed_amount") }} as billed_amount,
    {{ as_quantity("compared.issued_quantity") }} as issued_quantity,
    {{ as_money("compared.issued_cost") }} as issued_cost,
    {{ as_quantity("compared.bought_quantity") }} as bought_quantity,
    {{ as_money("compared.bought_cost") }} as bought_cost,
    case when swaps.swapped_item_code is not null then 'swapped' else compared.own_state end as match_state,
    swaps.swapped_item_code,
    compared.is_due
from compared
left join swaps
    on compared.case_number = swaps.case_number and compared.item_code = swaps.item_code
