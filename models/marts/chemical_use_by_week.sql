with by_case as (
    select
        location_id,
        week_start,
        week_label,
        count(case when is_embalmed and case_kind = 'intact' then 1 end) as embalmings_intact,
        count(case when is_embalmed and case_kind = 'autopsied' then 1 end) as embalmings_autopsied,
        sum({{ as_summable("formaldehyde_g") }}) as formaldehyde_g,
        sum(case when is_embalmed and case_kind = 'intact' then {{ as_summable("formaldehyde_g") }} end) as intact_g,
        sum(case when is_embalmed and case_kind = 'autopsied' then {{ as_summable("formaldehyde_g") }} end)
            as autopsied_g,
        sum(movements_not_counted) as uncounted
    from {{ ref("chemical_use_by_case") }}
    group by location_id, week_start, week_label
),

without_case as (
    select
        location_id,
        {{ iso_week_monday("occurred_date") }} as week_start,
        {{ iso_week_label("occurred_date") }} as week_label,
        sum(case when movement_kind = 'issued' then formaldehyde_g else -formaldehyde_g end) as formaldehyde_g,
        count(case when has_unknown_grams then 1 end) as uncounted
    from {{ ref("int_stock_movements") }}
    where
        case_number is null
        and movement_kind in ('issued', 'returned')
        and (formaldehyde_g <> 0 or has_unknown_grams)
    group by location_id, {{ iso_week_monday("occurred_date") }}, {{ iso_week_label("occurred_date") }}
),

held_back as (
    -- Gloves hold no formaldehyde; what an unknown item holds is not known.
    select
        held.location_id,
        {{ iso_week_monday("cast(held.occurred_at_local as date)") }} as week_start,
        {{ iso_week_label("cast(held.occurred_at_local as date)") }} as week_label,
        count(*) as held_count
    from {{ ref("stg_held_supply_movements") }} as held
    inner join {{ ref("stg_locations") }} as places
        on held.location_id = places.location_id
    left join {{ ref("stg_supply_items") }} as items
        on held.item_code = items.item_code
    where
        held.occurred_at <= {{ as_of() }}
        and coalesce(held.movement_kind in ('issued', 'returned'), true)
        and (items.item_code is null or items.formaldehyde_index > 0)
    group by
        held.location_id,
        {{ iso_week_monday("cast(held.occurred_at_local as date)") }},
        {{ iso_week_label("cast(held.occurred_at_local as date)") }}
),

weeks as (
    select
        location_id,
        week_start,
        week_label
    from by_case
    union
    select
        location_id,
        week_start,
        week_label
    from without_case
    union
    select
        location_id,
        week_start,
        week_label
    from held_back
),

summed as (
    select
        weeks.location_id,
        weeks.week_start,
        weeks.week_label,
        coalesce(by_case.embalmings_intact, 0) as embalmings_intact,
        coalesce(by_case.embalmings_autopsied, 0) as embalmings_autopsied,
        coalesce(by_case.formaldehyde_g, 0) as case_g,
        coalesce(by_case.intact_g, 0) as intact_g,
        coalesce(by_case.autopsied_g, 0) as autopsied_g,
        coalesce(without_case.formaldehyde_g, 0) as without_case_g,
        coalesce(by_case.uncounted, 0) + coalesce(without_case.uncounted, 0) as uncounted,
        coalesce(held_back.held_count, 0) as held_count
    from weeks
    left join by_case
        on weeks.location_id = by_case.location_id and weeks.week_start = by_case.week_start
    left join without_case
        on weeks.location_id = without_case.location_id and weeks.week_start = without_case.week_start
    left join held_back
        on weeks.location_id = held_back.location_id and weeks.week_start = held_back.week_start
)

select
    location_id,
    week_start,
    week_label,
    cast(embalmings_intact as bigint) as embalmings_intact,
    cast(embalmings_autopsied as bigint) as embalmings_autopsied,
    {{ to_double("case_g + without_case_g") }} as formaldehyde_g,
    {{ to_double("intact_g") }} as formaldehyde_g_intact,
    {{ to_double("autopsied_g") }} as formaldehyde_g_autopsied,
    {{ to_double("without_case_g") }} as formaldehyde_g_without_case,
    {{ to_double("intact_g") }} / nullif(embalmings_intact, 0) as g_per_intact,
    {{ to_double("autopsied_g") }} / nullif(embalmings_autopsied, 0) as g_per_autopsied,
    {{ to_double("case_g - intact_g - autopsied_g") }} as formaldehyde_g_other_case,
    cast(held_count as bigint) as movements_held_back,
    cast(uncounted as bigint) as movements_not_counted
from summed
