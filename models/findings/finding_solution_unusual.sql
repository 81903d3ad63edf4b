{# 1 to 2 g per 100 mL is usual; a 16 fl oz bottle to a gallon whatever its index gives up to about 4. #}
{# Common practice, no source. #}
{% set lowest_strength, highest_strength = 0.8, 4.0 %}

select
    {{ finding(
        "solution_unusual",
        case_number="mixtures.case_number",
        location_id="mixtures.location_id",
        occurred_at="mixtures.occurred_at",
        a="mixtures",
        feed_a="supply_movements",
        measured_value="mixtures.strength_g_per_100ml",
        limit_value="case when mixtures.strength_g_per_100ml > " ~ highest_strength ~ " then " ~ highest_strength
            ~ " else " ~ lowest_strength ~ " end",
        value_unit="g per 100 mL",
        detail="'Solution of movement ' || mixtures.movement_id || ': '
            || " ~ number_text("mixtures.formaldehyde_g", 1) ~ " || ' g of formaldehyde in '
            || " ~ number_text("mixtures.mixed_volume_ml", 0) ~ " || ' mL is '
            || " ~ number_text("mixtures.strength_g_per_100ml", 2) ~ " || ' g per 100 mL.'"
    ) }}
from {{ ref("int_fluid_mixtures") }} as mixtures
where
    mixtures.strength_g_per_100ml < {{ lowest_strength }}
    or mixtures.strength_g_per_100ml > {{ highest_strength }}
