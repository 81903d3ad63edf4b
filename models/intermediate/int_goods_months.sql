-- Weighted average: what was there at the beginning of a month and what came in during it cost one average, at which
-- everything leaves in that month. Each month begins with what the one before it left.
with recursive months as (
    select
        location_id,
        item_code,
        month_start,
        row_number() over (partition by location_id, item_code order by month_start) as month_number,
        {{ as_quantity("sum(case when is_incoming then quantity else 0 end)") }} as in_quantity,
        {{ as_money("sum(case when is_incoming then coalesce(amount, 0) else 0 end)") }} as in_amount,
        {{ as_quantity("sum(case when is_incoming then 0 else quantity end)") }} as out_quantity
    from {{ ref("int_goods_flows") }}
    group by location_id, item_code, month_start
),

rolled as (
    select
        months.*,
        months.in_quantity as held_quantity,
        months.in_amount as held_amount,
        {{ to_double("months.in_amount") }} / nullif(months.in_quantity, 0) as average_cost
    from months
    where months.month_number = 1

    union all

    select
        following.location_id,
        following.item_code,
        following.month_start,
        following.month_number,
        following.in_quantity,
        following.in_amount,
        following.out_quantity,
        following.held_quantity,
        following.held_amount,
        case
            when following.held_quantity > 0 then {{ to_double("following.held_amount") }} / following.held_quantity
            else following.average_before
        end as average_cost
    from (
        select
            months.*,
            {{ as_quantity("earlier.held_quantity - earlier.out_quantity + months.in_quantity") }} as held_quantity,
            {{ as_money("earlier.held_amount - " ~ left_at_average("earlier") ~ " + months.in_amount") }}
                as held_amount,
            earlier.average_cost as average_before
        from rolled as earlier
        inner join months
            on
                earlier.location_id = months.location_id
                and earlier.item_code = months.item_code
                and earlier.month_number + 1 = months.month_number
    ) as following
)

select
    rolled.location_id,
    rolled.item_code,
    rolled.month_start,
    rolled.held_quantity,
    rolled.held_amount,
    rolled.average_cost,
    rolled.out_quantity,
    {{ left_at_average("rolled") }} as out_amount,
    row_number() over (
        partition by rolled.location_id, rolled.item_code order by rolled.month_number desc
    ) = 1 as is_last
from rolled
