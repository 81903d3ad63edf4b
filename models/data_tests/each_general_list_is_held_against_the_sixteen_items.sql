select
    versions.location_id,
    versions.effective_from,
    count(distinct completeness.item_number) as item_count,
    count(completeness.item_number) as row_count
from {{ ref("int_price_list_versions") }} as versions
left join {{ ref("price_list_completeness") }} as completeness
    on versions.location_id = completeness.location_id and versions.effective_from = completeness.effective_from
where versions.list_kind = 'general' and not versions.is_partial
group by versions.location_id, versions.effective_from
having
    count(distinct completeness.item_number) <> 16
    or count(completeness.item_number) <> 16
    or min(completeness.item_number) <> 1
    or max(completeness.item_number) <> 16
