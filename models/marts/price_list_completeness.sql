with listed as (
    select
        location_id,
        effective_from,
        category,
        min(price) as price,
        max(price_to) as price_high
    from {{ ref("int_price_list_lines") }}
    where list_kind = 'general'
    group by location_id, effective_from, category
),

sold as (
    select distinct
        location_id,
        general_effective_from,
        list_category
    from {{ ref("charges_checked") }}
    where
        document_kind = 'invoice'
        and quantity > 0
        and check_state <> 'cash advance'
        and not coalesce(is_trade_call, false)
)

select
    versions.location_id,
    versions.effective_from,
    {{ today("today") }} >= versions.effective_from
    and {{ today("today") }} < versions.effective_until as is_in_force,
    items.item_number,
    items.category,
    items.item_name,
    items.paragraph,
    case when listed.category is null then 'not listed' else 'listed' end as state,
    sold.list_category is not null as is_sold,
    listed.price,
    listed.price_high
from {{ ref("int_price_list_versions") }} as versions
cross join {{ ref("stg_price_list_items") }} as items
left join listed
    on
        versions.location_id = listed.location_id
        and versions.effective_from = listed.effective_from
        and items.category = listed.category
left join sold
    on
        versions.location_id = sold.location_id
        and versions.effective_from = sold.general_effective_from
        and items.category = sold.list_category
left join {{ ref("int_local_today") }} as today
    on versions.location_id = today.location_id
where versions.list_kind = 'general' and not coalesce(versions.is_partial, false)
