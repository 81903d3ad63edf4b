-- Arrivals and departures of one instant are one change: two out and two in is no peak.
with changes as (
    select
        location_id,
        capacity,
        changed_at,
        cast(sum(change) as bigint) as change
    from (
        select
            location_id,
            capacity,
            in_at as changed_at,
            1 as change
        from {{ ref("int_place_stays") }}

        union all

        select
            location_id,
            capacity,
            out_at as changed_at,
            -1 as change
        from {{ ref("int_place_stays") }}
        where out_at is not null
    ) as moves
    group by location_id, capacity, changed_at
)

select
    location_id,
    capacity,
    changed_at,
    coalesce(lead(changed_at) over (partition by location_id order by changed_at), {{ as_of() }}) as until_at,
    cast(sum(change) over (
        partition by location_id order by changed_at rows between unbounded preceding and current row
    ) as bigint) as people
from changes
