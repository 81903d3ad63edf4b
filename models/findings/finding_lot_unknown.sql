with issues as (
    select
        *,
        row_number() over (
            partition by location_id, item_code, lot_number order by occurred_at, movement_id
        ) as issue_rank
    from {{ ref("int_stock_movements") }} as moved
    where
        movement_kind in ('issued', 'sent')
        and lot_number is not null
        and not exists (
            select 1
            from {{ ref("int_stock_movements") }} as incoming
            where
                incoming.movement_kind in ('opening', 'received', 'arrived')
                and incoming.location_id = moved.location_id
                and incoming.item_code = moved.item_code
                and incoming.lot_number = moved.lot_number
                and incoming.occurred_date <= moved.occurred_date
        )
        and not exists (
            select 1
            from {{ ref("stg_held_supply_movements") }} as held
            where
                held.location_id = moved.location_id
                and held.item_code = moved.item_code
                and coalesce(held.lot_number = moved.lot_number, true)
        )
)

select
    {{ finding(
        "lot_unknown",
        case_number="issues.case_number",
        location_id="issues.location_id",
        occurred_at="issues.occurred_at",
        a="issues",
        feed_a="supply_movements",
        detail="'Movement ' || issues.movement_id || ' takes item ' || issues.item_code || ' of lot '
            || issues.lot_number || ', which never came in at ' || issues.location_id || '.'"
    ) }}
from issues
where issues.issue_rank = 1
