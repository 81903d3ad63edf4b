{# 1 to 2 g per 100 mL is usual; a 16 fl oz bottle to a gallon whatever its index gives up to about 4. #}
{# Common practice, no source. #}
{% set lowest_strength, highest_strength = 0.8, 4.0 %}
{% set broken_strength = "case when issues.strength_g_per_100ml > " ~ highest_strength ~ " then " ~ highest_strength
    ~ " else " ~ lowest_strength ~ " end" %}

with unusual as (
    select *
    from {{ ref("int_fluid_mixtures") }}
    where strength_g_per_100ml < {{ lowest_strength }} or strength_g_per_100ml > {{ highest_strength }}
),

issues as (
    select
        moved.movement_id,
        moved.file_id,
        moved.line,
        unusual.case_number,
        unusual.location_id,
        unusual.occurred_at,
        unusual.mixed_volume_ml,
        unusual.formaldehyde_g,
        unusual.strength_g_per_100ml,
        row_number() over (
            partition by unusual.location_id, unusual.case_number, unusual.occurred_at
            order by moved.formaldehyde_g desc nulls last, moved.movement_id asc
        ) as rank_in_tank
    from unusual
    inner join {{ ref("int_stock_movements") }} as moved
        on
            unusual.case_number = moved.case_number
            and unusual.location_id = moved.location_id
            and moved.occurred_at between unusual.occurred_at and unusual.poured_until_at
            and moved.movement_kind = 'issued'
            and {{ is_injected("moved.item_kind") }}
)

select
    {{ finding(
        "solution_unusual",
        case_number="issues.case_number",
        location_id="issues.location_id",
        occurred_at="issues.occurred_at",
        a="issues",
        feed_a="supply_movements",
        measured_value="issues.strength_g_per_100ml",
        limit_value=broken_strength,
        value_unit="g per 100 mL",
        detail="'Solution of movement ' || issues.movement_id || ': '
            || " ~ number_text("issues.formaldehyde_g", 1) ~ " || ' g of formaldehyde in '
            || " ~ number_text("issues.mixed_volume_ml", 0) ~ " || ' mL is '
            || " ~ measured_text("issues.strength_g_per_100ml", broken_strength, 2) ~ " || ' g per 100 mL.'"
    ) }}
from issues
where issues.rank_in_tank = 1
