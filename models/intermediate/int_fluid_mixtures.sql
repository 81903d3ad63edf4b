-- Fluids issued together to one case go into one tank, whose finished volume may stand on one row
-- or on each; a later instant is a further tank. Cavity fluid is used as it is and is no part of one.
with injected as (
    select
        *,
        row_number() over (
            partition by location_id, case_number, occurred_at
            order by formaldehyde_g desc nulls last, movement_id asc
        ) as rank_in_mixture
    from {{ ref("int_stock_movements") }}
    where
        movement_kind = 'issued'
        and case_number is not null
        and item_kind in ('arterial_fluid', 'supplementary_fluid', 'dye')
)

select
    case_number,
    location_id,
    occurred_at,
    max(mixed_volume_ml) as mixed_volume_ml,
    {{ to_double("sum(formaldehyde_g)") }} as formaldehyde_g,
    {{ to_double("sum(formaldehyde_g)") }} / nullif(max(mixed_volume_ml), 0) * 100.0 as strength_g_per_100ml,
    min(case when rank_in_mixture = 1 then movement_id end) as movement_id,
    min(case when rank_in_mixture = 1 then file_id end) as file_id,
    min(case when rank_in_mixture = 1 then line end) as line
from injected
group by case_number, location_id, occurred_at
