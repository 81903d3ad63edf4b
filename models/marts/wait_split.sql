with split as (
    select
        waits.*,
        coalesce(locations.time_zone, 'UTC') as time_zone
    from {{ ref("int_case_waits") }} as waits
    left join {{ ref("stg_locations") }} as locations
        on waits.location_id = locations.location_id
),

recent as (
    select *
    from split
    where
        {{ iso_week_monday(local_date("final_at", "time_zone")) }}
        >= {{ add_days(iso_week_monday(as_of()), -91) }}
)

select
    coalesce(location_id, '(group)') as location_id,
    coalesce(disposition_kind, 'all') as disposition_kind,
    cast(count(*) as bigint) as case_count,
    case when count(*) >= {{ var("min_count") }} then {{ settled_mean("whole_hours") }} end as whole_hours,
    case when count(*) >= {{ var("min_count") }} then {{ settled_mean("paperwork_hours") }} end as paperwork_hours,
    case when count(*) >= {{ var("min_count") }} then {{ settled_mean("transport_hours") }} end as transport_hours,
    case when count(*) >= {{ var("min_count") }} then {{ settled_mean("preparation_hours") }} end as preparation_hours,
    case when count(*) >= {{ var("min_count") }} then {{ settled_mean("chamber_hours") }} end as chamber_hours,
    case when count(*) >= {{ var("min_count") }} then {{ settled_mean("family_hours") }} end as family_hours
from recent
group by grouping sets ((location_id, disposition_kind), (location_id), (disposition_kind), ())
having count(*) > 0
