with fluids as (
    select
        case_number,
        location_id,
        min(occurred_date) as first_issue_date,
        sum(case when movement_kind = 'issued' then quantity_ml else -quantity_ml end) as concentrate_ml,
        sum(case when movement_kind = 'issued' then formaldehyde_g else -formaldehyde_g end) as formaldehyde_g,
        count(case when has_unknown_grams then 1 end) as uncounted
    from {{ ref("int_stock_movements") }}
    where
        case_number is not null
        and movement_kind in ('issued', 'returned')
        and (formaldehyde_g <> 0 or has_unknown_grams or item_kind = 'cavity_fluid' or {{ is_injected("item_kind") }})
    group by case_number, location_id
),

mixtures as (
    select
        case_number,
        location_id,
        {{ to_double("sum(" ~ as_summable("mixed_volume_ml") ~ ")") }} as mixed_volume_ml,
        {{ to_double("sum(" ~ as_summable("formaldehyde_g") ~ ")") }} as mixed_formaldehyde_g
    from {{ ref("int_fluid_mixtures") }}
    where mixed_volume_ml > 0
    group by case_number, location_id
),

embalmings as (
    -- Work done elsewhere, for a trade call, used none of our fluid.
    select
        events.case_number,
        locations.location_id,
        events.embalmed_date
    from {{ ref("int_embalmings") }} as events
    inner join {{ ref("stg_locations") }} as locations
        on events.place_id = locations.location_id
    where not events.is_held
),

uses as (
    select
        coalesce(fluids.case_number, embalmings.case_number) as case_number,
        coalesce(fluids.location_id, embalmings.location_id) as location_id,
        coalesce(embalmings.embalmed_date, fluids.first_issue_date) as use_date,
        embalmings.case_number is not null as is_embalmed,
        coalesce(fluids.concentrate_ml, 0) as concentrate_ml,
        coalesce(fluids.formaldehyde_g, 0) as formaldehyde_g,
        coalesce(fluids.uncounted, 0) as uncounted
    from fluids
    full outer join embalmings
        on fluids.case_number = embalmings.case_number and fluids.location_id = embalmings.location_id
)

select
    uses.case_number,
    uses.location_id,
    case
        when cases.case_number is null then 'not known'
        when cases.is_autopsied then 'autopsied'
        else 'intact'
    end as case_kind,
    {{ iso_week_monday("uses.use_date") }} as week_start,
    {{ iso_week_label("uses.use_date") }} as week_label,
    uses.is_embalmed,
    {{ to_double("uses.concentrate_ml") }} as concentrate_ml,
    {{ to_double("uses.formaldehyde_g") }} as formaldehyde_g,
    mixtures.mixed_volume_ml,
    mixtures.mixed_formaldehyde_g / mixtures.mixed_volume_ml * 100.0 as strength_g_per_100ml,
    cast(uses.uncounted as bigint) as movements_not_counted
from uses
left join mixtures
    on uses.case_number = mixtures.case_number and uses.location_id = mixtures.location_id
left join {{ ref("stg_cases") }} as cases
    on uses.case_number = cases.case_number and not cases.is_held
