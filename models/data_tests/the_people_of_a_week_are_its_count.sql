-- Who is listed as there when a week ended is as many as the week counts, at every place; the weeks that pages show.
{% set first_week = add_days(iso_week_monday(as_of()), -91) %}

select
    weeks.location_id,
    weeks.week_start,
    weeks.closing_count,
    count(stays.case_number) as listed_count
from {{ ref("weekly_flow") }} as weeks
left join {{ ref("place_stays") }} as stays
    on
        weeks.location_id = stays.location_id
        and weeks.week_start >= stays.in_week
        and coalesce(weeks.week_start < stays.out_week, true)
        and coalesce(stays.out_week >= {{ first_week }}, true)
where weeks.week_start >= {{ first_week }}
group by weeks.location_id, weeks.week_start, weeks.closing_count
having count(stays.case_number) <> weeks.closing_count
