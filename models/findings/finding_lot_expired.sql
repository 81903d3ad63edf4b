-- A lot is its maker's and has one last day, wherever it stands: of several on record the earliest holds.
with incoming as (
    select
        *,
        row_number() over (
            partition by item_code, lot_number order by expires_date nulls last, occurred_at, movement_id
        ) as lot_rank
    from {{ ref("int_stock_movements") }}
    where movement_kind in ('opening', 'received', 'arrived') and lot_number is not null
)

select
    {{ finding(
        "lot_expired",
        case_number="issues.case_number",
        location_id="issues.location_id",
        occurred_at="issues.occurred_at",
        a="issues",
        feed_a="supply_movements",
        b="lots",
        feed_b="supply_movements",
        detail="'Movement ' || issues.movement_id || ' issues item ' || issues.item_code || ' on '
            || cast(issues.occurred_date as varchar) || '; the last day of its lot '
            || coalesce(issues.lot_number, '(no number)') || ' was '
            || case
                when lots.expires_date < issues.expires_date
                    then cast(lots.expires_date as varchar) || ' when it came in with movement ' || lots.movement_id
                        || ', and is ' || cast(issues.expires_date as varchar) || ' on the issue'
                else cast(coalesce(issues.expires_date, lots.expires_date) as varchar)
            end || '.'"
    ) }}
from {{ ref("int_stock_movements") }} as issues
left join incoming as lots
    on
        issues.item_code = lots.item_code
        and issues.lot_number = lots.lot_number
        and lots.lot_rank = 1
where
    issues.movement_kind = 'issued'
    and (issues.occurred_date > issues.expires_date or issues.occurred_date > lots.expires_date)
