-- Per place and week; a week opens as the one before closed; and the last week closes with the
-- people whom the census, counted another way, has there.
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
where
    weeks.opening_count + weeks.in_count - weeks.out_count <> weeks.closing_count
    or (weeks.week_number > 1 and weeks.opening_count <> weeks.closed_before)
    or weeks.closing_count < 0
    or (
        weeks.newest_number = 1
        and weeks.closing_count <> coalesce(present.people, 0)
    )
