-- Entries of the stock of goods: each row debits one account and credits another, by either method of cost.
with issues as (
    select
        location_id,
        item_code,
        out_number,
        sum(amount) as amount,
        sum(case when in_number is null then quantity else 0 end) as unlayered_quantity
    from {{ ref("int_goods_layers") }}
    where out_number is not null
    group by location_id, item_code, out_number
),

by_item as (
    select
        flows.location_id,
        flows.item_code,
        flows.item_kind,
        flows.month_start,
        flows.flow_kind,
        flows.is_incoming,
        sum(flows.quantity) as quantity,
        sum(coalesce(case when flows.is_incoming then flows.amount else issues.amount end, 0)) as first_in_amount,
        sum(coalesce(issues.unlayered_quantity, 0)) as unlayered_quantity,
        count(*) as flow_count
    from {{ ref("int_goods_flows") }} as flows
    left join issues
        on
            flows.location_id = issues.location_id
            and flows.item_code = issues.item_code
            and flows.flow_number = issues.out_number
    group by
        flows.location_id, flows.item_code, flows.item_kind, flows.month_start, flows.flow_kind, flows.is_incoming
),

shares as (
    select
        *,
        sum(quantity) over (
            partition by location_id, item_code, month_start, is_incoming order by flow_kind
            rows between unbounded preceding and current row
        ) as quantity_up_to
    from by_item
),

averaged as (
    -- The last kind of movement of a month takes what is left of its amount.
    select
        shares.*,
        case
            when shares.is_incoming then shares.first_in_amount
            else
                {{ as_money(to_double("months.out_amount") ~ " * shares.quantity_up_to / months.out_quantity") }}
                - {{ as_money(
                    to_double("months.out_amount")
                    ~ " * (shares.quantity_up_to - shares.quantity) / months.out_quantity"
                ) }}
        end as average_amount
    from shares
    left join {{ ref("int_goods_months") }} as months
        on
            shares.location_id = months.location_id
            and shares.item_code = months.item_code
            and shares.month_start = months.month_start
)

select
    month_start,
    location_id,
    item_kind,
    flow_kind,
    case when is_incoming then 'goods in stock' else {{ goods_account("flow_kind") }} end as debit_account,
    case when is_incoming then {{ goods_account("flow_kind") }} else 'goods in stock' end as credit_account,
    {{ as_quantity("sum(quantity)") }} as quantity,
    {{ as_money("sum(first_in_amount)") }} as first_in_amount,
    {{ as_money("sum(average_amount)") }} as average_amount,
    {{ as_quantity("sum(unlayered_quantity)") }} as unlayered_quantity,
    cast(sum(flow_count) as bigint) as flow_count
from averaged
group by month_start, location_id, item_kind, flow_kind, is_incoming
