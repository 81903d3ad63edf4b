{% set days = 7 * recent_weeks() | int %}

-- A week is complete when its Sunday has passed at every location, so that all are held to the same weeks.
select
    {{ add_days("this_week", -days) }} as first_week,
    {{ add_days("this_week", -7) }} as last_week,
    {{ add_days("this_week", -1) }} as last_date
from (
    select {{ iso_week_monday("coalesce(min(today_date), cast(" ~ as_of() ~ " as date))") }} as this_week
    from {{ ref("int_local_today") }}
) as today
