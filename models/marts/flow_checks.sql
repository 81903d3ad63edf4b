-- Little's law, L = lambda W: people there on average = arrivals an hour x hours that each stays, over the last
-- 13 weeks. Stays are cut to the window, so the identity is exact; where the counted average differs, the levels
-- and the stays do not tell the same story.
with span as (
    select
        {{ add_hours(as_of(), -2184) }} as from_at,
        {{ as_of() }} as until_at
),

stays as (
    select
        stays.location_id,
        case when stays.in_at >= span.from_at then 1 else 0 end as is_arrival,
        {{ elapsed_hours(
            "greatest(stays.in_at, span.from_at)", "least(coalesce(stays.out_at, span.until_at), span.until_at)"
        ) }} as hours
    from {{ ref("int_place_stays") }} as stays
    cross join span
    where
        stays.in_at < span.until_at
        and coalesce(stays.out_at > span.from_at, true)
),

of_stays as (
    select
        location_id,
        count(*) as stay_count,
        sum(is_arrival) as arrival_count,
        sum(hours) as person_hours
    from stays
    group by location_id
),

of_levels as (
    select
        levels.location_id,
        sum(
            levels.people
            * {{ elapsed_hours(
                "greatest(levels.changed_at, span.from_at)", "least(levels.until_at, span.until_at)"
            ) }}
        ) as person_hours
    from {{ ref("int_place_levels") }} as levels
    cross join span
    where levels.changed_at < span.until_at and levels.until_at > span.from_at
    group by levels.location_id
)

select
    of_stays.location_id,
    cast(of_stays.stay_count as bigint) as stay_count,
    cast(of_stays.arrival_count as bigint) as arrival_count,
    {{ settled("coalesce(of_levels.person_hours, 0) / 2184.0") }} as mean_people,
    {{ settled("of_stays.stay_count / 2184.0") }} as stays_per_hour,
    {{ settled("of_stays.person_hours / of_stays.stay_count") }} as mean_stay_hours,
    {{ settled("of_stays.person_hours / 2184.0") }} as mean_people_expected,
    {{ settled("coalesce(of_levels.person_hours, 0) / 2184.0 - of_stays.person_hours / 2184.0") }} as difference
from of_stays
left join of_levels
    on of_stays.location_id = of_levels.location_id
