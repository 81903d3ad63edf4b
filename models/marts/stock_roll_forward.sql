-- One stock-taking period per item: from its last opening balance to its last count (else to now).
-- Lots and shelves opened or counted together are one balance.
with balances as (
    {{ stock_balances() }}
),

moved as (
    select
        movements.*,
        coalesce(balances.balance_at, movements.occurred_at) as balance_at
    from {{ ref("int_stock_movements") }} as movements
    left join balances
        on movements.movement_id = balances.movement_id
),

counts as (
    select
        location_id,
        item_code,
        max(balance_at) as counted_at
    from moved
    where movement_kind = 'counted' and occurred_at <= {{ as_of() }}
    group by location_id, item_code
),

periods as (
    select
        moved.location_id,
        moved.item_code,
        counts.counted_at,
        coalesce(counts.counted_at, {{ as_of() }}) as until_at,
        max(
            case
                when
                    moved.movement_kind = 'opening'
                    and moved.occurred_at <= coalesce(counts.counted_at, {{ as_of() }})
                    then moved.balance_at
            end
        ) as opened_at
    from moved
    left join counts
        on moved.location_id = counts.location_id and moved.item_code = counts.item_code
    group by moved.location_id, moved.item_code, counts.counted_at
),

sums as (
    select
        periods.location_id,
        periods.item_code,
        periods.opened_at,
        periods.counted_at,
        {% for kind in ["opening", "received", "arrived", "returned", "issued", "sent", "written_off"] %}
        coalesce(sum(case when moved.movement_kind = '{{ kind }}' then moved.stock_quantity end), 0) as {{ kind }},
        {% endfor %}
        sum(
            case
                when moved.movement_kind = 'counted' and moved.balance_at = periods.counted_at
                    then moved.stock_quantity
            end
        ) as counted,
        count(case when moved.stock_quantity is null then 1 end) as unconverted_count
    from periods
    inner join moved
        on
            periods.location_id = moved.location_id
            and periods.item_code = moved.item_code
            and periods.until_at >= moved.occurred_at
            and (periods.opened_at <= moved.occurred_at or periods.opened_at is null)
    group by periods.location_id, periods.item_code, periods.opened_at, periods.counted_at
),

held_back as (
    select
        location_id,
        item_code,
        count(*) as held_count
    from {{ ref("stg_held_supply_movements") }}
    where coalesce(occurred_at <= {{ as_of() }}, true)
    group by location_id, item_code
),

expectations as (
    select
        sums.*,
        items.description,
        items.unit,
        sums.opening + sums.received + sums.arrived + sums.returned - sums.issued - sums.sent - sums.written_off
            as expected,
        coalesce(held_back.held_count, 0) as held_count
    from sums
    left join {{ ref("stg_supply_items") }} as items
        on sums.item_code = items.item_code
    left join held_back
        on sums.location_id = held_back.location_id and sums.item_code = held_back.item_code
)

select
    location_id,
    item_code,
    description,
    unit,
    {% for figure in [
        "opening", "received", "arrived", "returned", "issued", "sent", "written_off", "expected", "counted"
    ] %}
    {{ as_quantity(figure) }} as {{ figure }},
    {% endfor %}
    {{ as_quantity("counted - expected") }} as difference,
    opened_at,
    counted_at,
    cast(unconverted_count as bigint) as unconverted_count,
    cast(held_count as bigint) as movements_held_back
from expectations
