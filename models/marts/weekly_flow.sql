with digits as (
    select cast(digit as integer) as digit
    from (values (0), (1), (2), (3), (4), (5), (6), (7), (8), (9)) as listed (digit)
),

span as (
    select
        min(in_week) as first_week,
        {{ iso_week_monday(as_of()) }} as last_week
    from {{ ref("int_place_stays") }}
),

weeks as (
    -- Every week from the first arrival to the as-of instant: a silent week is a row too.
    select {{ add_days("span.first_week", "7 * (100 * hundreds.digit + 10 * tens.digit + ones.digit)") }} as week_start
    from span
    cross join digits as hundreds
    cross join digits as tens
    cross join digits as ones
    where
        {{ add_days("span.first_week", "7 * (100 * hundreds.digit + 10 * tens.digit + ones.digit)") }}
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
        weekly.*,
        coalesce(
            sum(in_count - out_count) over (
                partition by location_id order by week_start rows between unbounded preceding and 1 preceding
            ),
            0
        ) as opening_count,
        coalesce(
            sum(held_in_count - held_out_count) over (
                partition by location_id order by week_start rows between unbounded preceding and 1 preceding
            ),
            0
        ) as held_opening_count
    from weekly
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
