-- The last days, hour by hour. An hour's figure is its peak: a place is as full as at its fullest.
with numbers as (
    {{ numbers_to_999() }}
),

hours as (
    select {{ add_hours("date_trunc('hour', " ~ as_of() ~ ")", "-number") }} as hour_start
    from numbers
    where number < 24 * {{ var("place_hours_days") }}
),

levels as (
    select *
    from {{ ref("int_place_levels") }}
    where until_at > {{ add_hours(as_of(), "-24 * " ~ (var("place_hours_days") | int + 1)) }}
),

in_doubt as (
    select *
    from {{ ref("int_place_stays") }}
    where is_held and coalesce(out_at > {{ add_hours(as_of(), "-24 * " ~ (var("place_hours_days") | int + 1)) }}, true)
),

doubtful_hours as (
    select
        in_doubt.location_id,
        hours.hour_start,
        count(distinct in_doubt.case_number) as people
    from in_doubt
    inner join hours
        on
            in_doubt.in_at - interval '1' hour < hours.hour_start
            and coalesce(in_doubt.out_at > hours.hour_start, true)
    group by in_doubt.location_id, hours.hour_start
),

peaks as (
    select
        locations.location_id,
        locations.capacity,
        hours.hour_start,
        max(levels.people) as people
    from {{ ref("stg_locations") }} as locations
    cross join hours
    left join levels
        on
            locations.location_id = levels.location_id
            and hours.hour_start > levels.changed_at - interval '1' hour
            and (hours.hour_start < levels.until_at or levels.until_at >= {{ as_of() }})
    group by locations.location_id, locations.capacity, hours.hour_start
)

select
    peaks.location_id,
    peaks.hour_start,
    cast(coalesce(peaks.people, 0) as bigint) as peak_count,
    cast(coalesce(doubtful_hours.people, 0) as bigint) as not_proven_count,
    cast(peaks.capacity as bigint) as capacity,
    coalesce(peaks.people > peaks.capacity, false) as is_over
from peaks
left join doubtful_hours
    on peaks.location_id = doubtful_hours.location_id and peaks.hour_start = doubtful_hours.hour_start
