with totals as (
    select
        (
            select count(*)
            from {{ ref("stg_supply_movements") }}
            where occurred_at <= {{ as_of() }}
        ) as accepted_movements,
        (select count(*) from {{ ref("int_stock_movements") }}) as measured_movements,
        (
            select coalesce(sum(case when movement_kind = 'issued' then formaldehyde_g else -formaldehyde_g end), 0)
            from {{ ref("int_stock_movements") }}
            where movement_kind in ('issued', 'returned')
        ) as issued_g,
        (select coalesce(sum(formaldehyde_g), 0) from {{ ref("chemical_use_by_week") }}) as weeks_g,
        (
            select
                coalesce(
                    sum(
                        formaldehyde_g_intact + formaldehyde_g_autopsied + formaldehyde_g_without_case
                        + formaldehyde_g_other_case
                    ), 0
                )
            from {{ ref("chemical_use_by_week") }}
        ) as parts_g
)

select
    accepted_movements,
    measured_movements,
    issued_g,
    weeks_g,
    parts_g
from totals
where
    accepted_movements <> measured_movements
    or abs({{ to_double("issued_g") }} - weeks_g) > 0.001 + 0.000000001 * abs(weeks_g)
    or abs(weeks_g - parts_g) > 0.001 + 0.000000001 * abs(weeks_g)
