with numbers as (
    {{ numbers_to_999() }}
),

span as (
    -- Ten years at most: one arrival dated 1926 by mistake must not make ten thousand rows.
    select
        greatest(min(in_week), {{ add_days(iso_week_monday(as_of()), -7 * 519) }}) as first_week,
        {{ iso_week_monday(as_of()) }} as last_week
    from {{ ref("int_place_stays") }}
),

weeks as (
    -- Every week from the first arrival to the as-of instant: a silent week is a row too.
    select {{ add_days("span.first_week", "7 * numbers.number") }} as week_start
    from span
    cross join numbers
    where
        {{ add_days("span.first_week", "7 * numbers.number") }}
        <= span.last_week
),

moves as (
    select
        location_id,
        in_week as week_start,
        count(*) as in_count,
        0 as out_count,
        count(case when is_held then 1 end) as held_in_count,
        0 as held_out_count
    from {{ ref("int_place_stays") }}
    group by location_id, in_week

    union all

    select
        location_id,
        out_week as week_start,
        0 as in_count,
        count(*) as out_count,
        0 as held_in_count,
        count(case when is_held then 1 end) as held_out_count
    from {{ ref("int_place_stays") }}
    where out_week is not null
    group by location_id, out_week
),

before as (
    -- What came and went before the first week stands in its opening.
    select
        moves.location_id,
        sum(moves.in_count - moves.out_count) as people,
        sum(moves.held_in_count - moves.held_out_count) as held_people
    from moves
    cross join span
    where moves.week_start < span.first_week
    group by moves.location_id
),

weekly as (
    select
        locations.location_id,
        weeks.week_start,
        coalesce(sum(moves.in_count), 0) as in_count,
        coalesce(sum(moves.out_count), 0) as out_count,
        coalesce(sum(moves.held_in_count), 0) as held_in_count,
        coalesce(sum(moves.held_out_count), 0) as held_out_count
    from {{ ref("stg_locations") }} as locations
    cross join weeks
    left join moves
        on locations.location_id = moves.location_id and weeks.week_start = moves.week_start
    group by locations.location_id, weeks.week_start
),

running as (
    select
        weekly.location_id,
        weekly.week_start,
        weekly.in_count,
        weekly.out_count,
        weekly.held_in_count,
        coalesce(before.people, 0) + coalesce(
            sum(weekly.in_count - weekly.out_count) over (
                partition by weekly.location_id
                order by weekly.week_start
                rows between unbounded preceding and 1 preceding
            ),
            0
        ) as opening_count,
        coalesce(before.held_people, 0) + coalesce(
            sum(weekly.held_in_count - weekly.held_out_count) over (
                partition by weekly.location_id
                order by weekly.week_start
                rows between unbounded preceding and 1 preceding
            ),
            0
        ) as held_opening_count
    from weekly
    left join before
        on weekly.location_id = before.location_id
)

select
    location_id,
    week_start,
    {{ iso_week_label("week_start") }} as week_label,
    cast(opening_count as bigint) as opening_count,
    cast(in_count as bigint) as in_count,
    cast(out_count as bigint) as out_count,
    cast(opening_count + in_count - out_count as bigint) as closing_count,
    cast(held_opening_count + held_in_count as bigint) as not_proven_count
from running
