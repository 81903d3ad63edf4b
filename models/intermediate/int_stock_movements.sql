-- Factors lead to millilitres, grams or pieces; a piece of a fluid is its content in millilitres.
-- A movement whose item is held back stays, unmeasured.
with measured as (
    select
        movements.movement_id,
        movements.occurred_at,
        movements.occurred_at_local,
        movements.location_id,
        movements.item_code,
        movements.movement_kind,
        movements.quantity,
        movements.unit,
        movements.unit_cost,
        movements.lot_number,
        movements.expires_date,
        movements.case_number,
        movements.mixed_volume_ml,
        movements.document_number,
        movements.file_id,
        movements.line,
        items.item_kind,
        items.unit as item_unit,
        {{ to_double("items.formaldehyde_index") }} as formaldehyde_index,
        coalesce(items.content_ml > 0, false) or coalesce(kept.base_unit = 'ml', false) as is_fluid,
        {{ to_double("movements.quantity") }} * {{ to_double("written.factor") }} as base_quantity,
        written.base_unit as written_base_unit,
        kept.base_unit as kept_base_unit,
        nullif({{ to_double("kept.factor") }}, 0) as kept_factor,
        {{ to_double("items.content_ml") }} as content_ml
    from {{ ref("stg_supply_movements") }} as movements
    left join {{ ref("stg_supply_items") }} as items
        on movements.item_code = items.item_code
    left join {{ ref("stg_unit_factors") }} as written
        on movements.unit = written.unit
    left join {{ ref("stg_unit_factors") }} as kept
        on items.unit = kept.unit
    where movements.occurred_at <= {{ as_of() }}
),

in_millilitres as (
    select
        *,
        case
            when written_base_unit = 'ml' then base_quantity
            when written_base_unit = 'each' then base_quantity * content_ml
        end as volume_ml,
        case when kept_base_unit = 'each' then kept_factor * nullif(content_ml, 0) else kept_factor end as ml_in_unit
    from measured
)

select
    movement_id,
    occurred_at,
    cast(occurred_at_local as date) as occurred_date,
    location_id,
    item_code,
    item_kind,
    is_fluid,
    movement_kind,
    case
        when unit = item_unit then quantity
        when written_base_unit = kept_base_unit then {{ as_quantity("base_quantity / kept_factor") }}
        when is_fluid then {{ as_quantity("volume_ml / ml_in_unit") }}
    end as stock_quantity,
    case when is_fluid then ml_in_unit end as item_unit_ml,
    case when is_fluid then {{ as_summable("volume_ml") }} end as quantity_ml,
    -- Index = grams per 100 mL at 20 C: US federal item descriptions A-A-52075 and A-A-50170.
    case when is_fluid then {{ as_summable("volume_ml * formaldehyde_index / 100.0") }} end as formaldehyde_g,
    -- Arterial and cavity fluid hold formaldehyde unless an index of 0 says that they do not; of others, what has one.
    {{ as_summable("volume_ml * formaldehyde_index / 100.0") }} is null
    and coalesce(formaldehyde_index > 0, item_kind in ('arterial_fluid', 'cavity_fluid'), false) as has_unknown_grams,
    case
        when unit = item_unit then unit_cost
        when written_base_unit = kept_base_unit
            then {{ as_quantity("unit_cost * kept_factor * quantity / nullif(base_quantity, 0)") }}
        when is_fluid then {{ as_quantity("unit_cost * quantity * ml_in_unit / nullif(volume_ml, 0)") }}
    end as stock_unit_cost,
    lot_number,
    expires_date,
    case_number,
    {{ to_double("mixed_volume_ml") }} as mixed_volume_ml,
    document_number,
    file_id,
    line
from in_millilitres
