-- A price may cover other items of the home's lists: what each of them is there.
select
    packages.location_id,
    packages.list_kind,
    packages.effective_from,
    packages.item_code,
    packages.category,
    contents.item_code as content_code,
    min(contents.category) as content_category,
    bool_or(contents.category = 'embalming') as is_embalming,
    bool_and(coalesce(contents.charge_basis = 'flat', true)) as is_flat
from {{ ref("int_price_list_lines") }} as packages
inner join {{ ref("int_price_list_lines") }} as contents
    on
        packages.location_id = contents.location_id
        and packages.item_code <> contents.item_code
        and packages.effective_from < contents.effective_until
        and packages.effective_until > contents.effective_from
        and position(
            ';' || contents.item_code || ';' in ';' || replace(packages.includes_items, ' ', '') || ';'
        ) > 0
where packages.includes_items is not null and contents.category <> 'list_header'
group by
    packages.location_id,
    packages.list_kind,
    packages.effective_from,
    packages.item_code,
    packages.category,
    contents.item_code
