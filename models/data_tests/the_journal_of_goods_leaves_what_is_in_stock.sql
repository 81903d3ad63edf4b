-- What the journal debits to the stock of goods less what it credits is what the goods there cost, by either method.
-- A place with a figure that no stock has (an absurd quantity or cost) is left to the findings.
with sides as (
    select
        location_id,
        case when debit_account = 'goods in stock' then quantity else -quantity end as quantity,
        case when debit_account = 'goods in stock' then first_in_amount else -first_in_amount end as first_in_amount,
        case when debit_account = 'goods in stock' then average_amount else -average_amount end as average_amount
    from {{ ref("goods_journal") }}

    union all

    select
        location_id,
        -quantity as quantity,
        -first_in_amount as first_in_amount,
        -average_amount as average_amount
    from {{ ref("goods_on_hand") }}
)

select
    location_id,
    sum(quantity) as quantity,
    sum(first_in_amount) as first_in_amount,
    sum(average_amount) as average_amount
from sides
group by location_id
having
    (sum(quantity) <> 0 or sum(first_in_amount) <> 0 or sum(average_amount) <> 0)
    and count(*) = count(quantity)
    and count(*) = count(first_in_amount)
    and count(*) = count(average_amount)
    and max(greatest(abs(quantity), abs(first_in_amount), abs(average_amount))) < 100000000000
