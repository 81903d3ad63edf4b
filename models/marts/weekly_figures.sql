{% set most_weeks = 117 %}
-- Figures by week, each home and all together, from a figure's first week to the running one; a week without enough
-- cases is a row without a figure, so that it shows as a gap. Two years before the judged quarter at most.
with figures as (
    select
        location_id,
        'median hours' as measure,
        step_code,
        week_start,
        median_hours as figure,
        finished_count as case_count
    from {{ ref("weekly_turnaround") }}

    union all

    select
        location_id,
        'cases finished' as measure,
        step_code,
        week_start,
        {{ to_double("finished_count") }} as figure,
        finished_count as case_count
    from {{ ref("weekly_turnaround") }}
    where step_code = 'call_to_disposition'

    union all

    select
        coalesce(location_id, '(group)') as location_id,
        'cases called' as measure,
        'call_to_disposition' as step_code,
        called_week as week_start,
        {{ to_double("count(*)") }} as figure,
        count(*) as case_count
    from {{ ref("custody_cases") }}
    where called_week is not null
    group by grouping sets ((location_id, called_week), (called_week))

    union all

    select
        location_id,
        'formaldehyde per embalming' as measure,
        'none' as step_code,
        week_start,
        (formaldehyde_g_intact + formaldehyde_g_autopsied) / (embalmings_intact + embalmings_autopsied) as figure,
        embalmings_intact + embalmings_autopsied as case_count
    from {{ ref("chemical_use_by_week") }}
    where embalmings_intact + embalmings_autopsied > 0
),

numbers as (
    {{ numbers_to_999() }}
),

weeks as (
    select
        numbers.number - 1 as weeks_ago,
        {{ add_days("recent.last_week", "-7 * (numbers.number - 1)") }}
            as week_start,
        recent.first_week
    from {{ ref("int_recent_weeks") }} as recent
    cross join numbers
    where numbers.number <= {{ most_weeks }}
),

series as (
    select
        location_id,
        measure,
        step_code,
        min(week_start) as begins
    from figures
    group by location_id, measure, step_code
)

select
    series.location_id,
    series.measure,
    series.step_code,
    weeks.week_start,
    {{ iso_week_label("weeks.week_start") }} as week_label,
    {{ settled("coalesce(figures.figure, case when series.measure like 'cases %' then 0 end)") }} as figure,
    cast(coalesce(figures.case_count, 0) as bigint) as case_count,
    cast(weeks.weeks_ago as integer) as weeks_ago,
    weeks.weeks_ago >= 0 and weeks.week_start >= weeks.first_week as is_judged
from series
inner join weeks
    on series.begins <= weeks.week_start
left join figures
    on
        series.location_id = figures.location_id
        and series.measure = figures.measure
        and series.step_code = figures.step_code
        and weeks.week_start = figures.week_start
