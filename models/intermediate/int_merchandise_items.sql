select
    items.item_code,
    items.item_kind,
    items.description,
    case
        when items.item_kind in ('casket', 'alternative_container') then 'casket_range_or_prices'
        when items.item_kind = 'outer_container' then 'outer_burial_container_range_or_prices'
        else 'merchandise'
    end as list_category
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
