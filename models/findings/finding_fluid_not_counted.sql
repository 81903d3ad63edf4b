with uses as (
    select
        *,
        count(*) over (partition by location_id, item_code) as use_count,
        row_number() over (partition by location_id, item_code order by occurred_at, movement_id) as use_rank
    from {{ ref("int_stock_movements") }}
    where movement_kind in ('issued', 'returned') and has_unknown_grams
)

select
    {{ finding(
        "fluid_not_counted",
        case_number="null",
        location_id="uses.location_id",
        occurred_at="uses.occurred_at",
        a="uses",
        feed_a="supply_movements",
        b="items",
        feed_b="supply_items",
        measured_value="uses.use_count",
        value_unit="issues and returns",
        detail="'Item ' || uses.item_code || ' at ' || uses.location_id || ': ' || uses.use_count
            || case when uses.use_count = 1 then ' issue or return is' else ' issues and returns are' end
            || ' in no grams of formaldehyde, the first being movement ' || uses.movement_id || ': '
            || case
                when items.formaldehyde_index is null then 'the item has no formaldehyde index'
                when items.content_ml is null then 'the item has no content in millilitres'
                else 'its quantity or unit cannot be turned into millilitres'
            end || '.'"
    ) }}
from uses
inner join {{ ref("stg_supply_items") }} as items
    on uses.item_code = items.item_code
where uses.use_rank = 1
