with moved as (
    select
        *,
        case when movement_kind = 'returned' then stock_quantity else -stock_quantity end as back_quantity,
        row_number() over (
            partition by case_number, item_code
            order by case when movement_kind = 'returned' then 0 else 1 end, occurred_at desc, movement_id desc
        ) as last_return_rank
    from {{ ref("int_stock_movements") }}
    where case_number is not null and movement_kind in ('issued', 'returned')
),

balances as (
    select
        case_number,
        item_code,
        sum(case when movement_kind = 'issued' then stock_quantity else 0 end) as issued,
        sum(case when movement_kind = 'returned' then stock_quantity else 0 end) as returned
    from moved
    group by case_number, item_code
    -- Bottles, ounces and millilitres of one volume differ by their rounding. Of an unknown unit nobody knows.
    having sum(back_quantity) > 0.005 and count(*) = count(stock_quantity)
)

select
    {{ finding(
        "returned_not_issued",
        case_number="returns.case_number",
        location_id="returns.location_id",
        occurred_at="returns.occurred_at",
        a="returns",
        feed_a="supply_movements",
        measured_value="balances.returned",
        limit_value="balances.issued",
        value_unit="units of the item",
        detail="'Of item ' || returns.item_code || ' ' || " ~ quantity_text("balances.returned") ~ "
            || ' came back from case ' || returns.case_number || ', with movement ' || returns.movement_id
            || case
                when balances.issued > 0
                    then ', and only ' || " ~ quantity_text("balances.issued") ~ " || ' went out to it.'
                else ', and none went out to it.'
            end"
    ) }}
from balances
inner join moved as returns
    on
        balances.case_number = returns.case_number
        and balances.item_code = returns.item_code
        and returns.last_return_rank = 1
where
    -- One that is held back may be the issue.
    not exists (
        select 1
        from {{ ref("stg_held_supply_movements") }} as held
        where
            coalesce(held.case_number = returns.case_number, true)
            and coalesce(held.item_code = returns.item_code, true)
            and coalesce(held.movement_kind = 'issued', true)
    )
