select
    lines.location_id,
    lines.list_kind,
    lines.effective_from,
    lines.item_number,
    lines.category,
    lines.item_code,
    lines.description,
    lines.price,
    lines.price_high,
    lines.charge_basis,
    lines.variant,
    lines.is_declinable,
    lines.disclosure_keys
from {{ ref("int_price_list_lines") }} as lines
left join {{ ref("int_local_today") }} as today
    on lines.location_id = today.location_id
where
    {{ today("today") }} >= lines.effective_from
    and {{ today("today") }} < lines.effective_until
