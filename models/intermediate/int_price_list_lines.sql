select
    lists.location_id,
    lists.list_kind,
    lists.effective_from,
    least(
        versions.effective_until,
        coalesce(
            lead(lists.effective_from) over (
                partition by lists.location_id, lists.list_kind, lists.item_code
                order by lists.effective_from
            ),
            versions.effective_until
        )
    ) as effective_until,
    versions.is_partial as is_of_partial,
    lists.item_code,
    lists.category,
    items.item_number,
    lists.description,
    lists.price,
    lists.price_high,
    coalesce(lists.price_high, lists.price) as price_to,
    lists.charge_basis,
    lists.variant,
    lists.is_declinable,
    lists.includes_items,
    lists.disclosure_keys,
    lists.file_id,
    lists.line
from {{ ref("stg_price_lists") }} as lists
inner join {{ ref("int_price_list_versions") }} as versions
    on
        lists.location_id = versions.location_id
        and lists.list_kind = versions.list_kind
        and lists.effective_from = versions.effective_from
left join {{ ref("stg_price_list_items") }} as items
    on lists.category = items.category
