{# Bottles poured into one tank are written down within so many minutes (the group's own judgement; no source). #}
{% set minutes_of_pouring = 15 %}
{% set in_order = "partition by case_number, location_id order by occurred_at" %}
{% set in_run = "partition by case_number, location_id, run_number order by occurred_at" %}

-- Fluids issued together to one case go into one tank, whose finished volume may stand on one row
-- or on each; another volume or a later time is a further tank. Cavity fluid is used as it is and is no part of one.
with instants as (
    select
        case_number,
        location_id,
        occurred_at,
        max(mixed_volume_ml) as mixed_volume_ml,
        sum(formaldehyde_g) as formaldehyde_g
    from {{ ref("int_stock_movements") }}
    where
        movement_kind = 'issued'
        and case_number is not null
        and {{ is_injected("item_kind") }}
    group by case_number, location_id, occurred_at
),

beside_earlier as (
    select
        *,
        lag(occurred_at) over ({{ in_order }}) as at_before
    from instants
),

in_runs as (
    select
        *,
        sum(case when {{ elapsed_minutes("at_before", "occurred_at") }} <= {{ minutes_of_pouring }} then 0 else 1 end)
            over ({{ in_order }} rows between unbounded preceding and current row) as run_number
    from beside_earlier
),

beside_volume as (
    select
        *,
        {{ carried_forward("mixed_volume_ml", in_run, "1 preceding") }} as volume_before
    from in_runs
),

in_tanks as (
    select
        *,
        sum(case when mixed_volume_ml <> volume_before then 1 else 0 end)
            over ({{ in_run }} rows between unbounded preceding and current row) as tank_in_run
    from beside_volume
),

tanks as (
    select
        case_number,
        location_id,
        min(occurred_at) as occurred_at,
        max(occurred_at) as poured_until_at,
        max(mixed_volume_ml) as mixed_volume_ml,
        sum(formaldehyde_g) as formaldehyde_g
    from in_tanks
    group by case_number, location_id, run_number, tank_in_run
),

-- What came back was not poured: it is of the last bottle of its kind that went out before.
came_back as (
    select
        returned.movement_id,
        returned.case_number,
        returned.location_id,
        returned.formaldehyde_g,
        max(issued.occurred_at) as issued_at
    from {{ ref("int_stock_movements") }} as returned
    inner join {{ ref("int_stock_movements") }} as issued
        on
            returned.case_number = issued.case_number
            and returned.location_id = issued.location_id
            and returned.item_code = issued.item_code
            and returned.occurred_at >= issued.occurred_at
            and issued.movement_kind = 'issued'
    where returned.movement_kind = 'returned' and {{ is_injected("returned.item_kind") }}
    group by returned.movement_id, returned.case_number, returned.location_id, returned.formaldehyde_g
),

poured as (
    select
        tanks.case_number,
        tanks.location_id,
        tanks.occurred_at,
        tanks.poured_until_at,
        tanks.mixed_volume_ml,
        tanks.formaldehyde_g - coalesce(sum(came_back.formaldehyde_g), 0) as formaldehyde_g,
        count(came_back.movement_id) as return_count
    from tanks
    left join came_back
        on
            tanks.case_number = came_back.case_number
            and tanks.location_id = came_back.location_id
            and came_back.issued_at between tanks.occurred_at and tanks.poured_until_at
    group by
        tanks.case_number,
        tanks.location_id,
        tanks.occurred_at,
        tanks.poured_until_at,
        tanks.mixed_volume_ml,
        tanks.formaldehyde_g
)

select
    case_number,
    location_id,
    occurred_at,
    poured_until_at,
    mixed_volume_ml,
    {{ to_double("formaldehyde_g") }} as formaldehyde_g,
    {{ to_double("formaldehyde_g") }} / nullif(mixed_volume_ml, 0) * 100.0 as strength_g_per_100ml
from poured
-- A tank of which all came back was none.
where return_count = 0 or formaldehyde_g > 0
