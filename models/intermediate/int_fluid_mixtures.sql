-- Fluids issued together to one case go into one tank, whose finished volume may stand on one row
-- or on each; a later instant is a further tank. Cavity fluid is used as it is and is no part of one.
select
    case_number,
    location_id,
    occurred_at,
    max(mixed_volume_ml) as mixed_volume_ml,
    {{ to_double("sum(formaldehyde_g)") }} as formaldehyde_g,
    {{ to_double("sum(formaldehyde_g)") }} / nullif(max(mixed_volume_ml), 0) * 100.0 as strength_g_per_100ml
from {{ ref("int_stock_movements") }}
where
    movement_kind = 'issued'
    and case_number is not null
    and {{ is_injected("item_kind") }}
group by case_number, location_id, occurred_at
