-- Per place and week; a week opens as the one before closed; and the last week closes with the
-- people whom the census, counted another way, has there. (A place with moves dated after the as-of
-- week is left out of the last comparison: the census knows them, the week does not.)
with weeks as (
    select
        location_id,
        week_start,
        opening_count,
        in_count,
        out_count,
        closing_count,
        lag(closing_count) over (partition by location_id order by week_start) as closed_before,
        row_number() over (partition by location_id order by week_start) as week_number,
        row_number() over (partition by location_id order by week_start desc) as newest_number
    from {{ ref("weekly_flow") }}
),

present as (
    select
        place_id as location_id,
        count(*) as people
    from {{ ref("custody_cases") }}
    where is_in_care
    group by place_id
),

moved_later as (
    select distinct stays.location_id
    from {{ ref("int_place_stays") }} as stays
    where
        stays.in_week > {{ iso_week_monday(as_of()) }}
        or stays.out_week > {{ iso_week_monday(as_of()) }}
)

select
    weeks.location_id,
    weeks.week_start,
    weeks.opening_count,
    weeks.in_count,
    weeks.out_count,
    weeks.closing_count,
    weeks.closed_before,
    present.people as in_census
from weeks
left join present
    on weeks.location_id = present.location_id
left join moved_later
    on weeks.location_id = moved_later.location_id
where
    weeks.opening_count + weeks.in_count - weeks.out_count <> weeks.closing_count
    or (weeks.week_number > 1 and weeks.opening_count <> weeks.closed_before)
    or weeks.closing_count < 0
    or (
        weeks.newest_number = 1
        and moved_later.location_id is null
        and weeks.closing_count <> coalesce(present.people, 0)
    )
