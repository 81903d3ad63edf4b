select
    items.item_code,
    items.item_kind,
    items.description,
    items.list_cost
from {{ ref("stg_supply_items") }} as items
where
    items.item_kind in ('casket', 'urn', 'outer_container', 'alternative_container')
    or (
        items.item_kind = 'other'
        and exists (
            select 1
            from {{ ref("stg_price_lists") }} as lists
            where lists.item_code = items.item_code and lists.category = 'merchandise'
        )
    )
