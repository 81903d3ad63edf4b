{% set keys = ["location_id", "measure", "step_code"] %}
-- What is usual, from the weeks before the last quarter; and whether that quarter differs by more than chance gives.
with points as (
    select
        location_id,
        measure,
        step_code,
        -weeks_ago as point_number,
        figure as value,
        case_count,
        is_judged
    from {{ ref("weekly_figures") }}
    where weeks_ago >= 0
),

begun as (
    select
        location_id,
        min(point_number) + 2 as first_point
    from points
    group by location_id
),

earlier as (
    -- The first two weeks on record would look quiet and quick: exports begin within a week, and cases begun before
    -- them are not there to finish.
    select points.*
    from points
    inner join begun
        on points.location_id = begun.location_id
    where not points.is_judged and points.point_number >= begun.first_point
),

limits as (
    {{ usual_limits("earlier", keys) }}
),

judged as (
    select
        points.*,
        limits.centre_value,
        limits.lower_value,
        limits.upper_value
    from points
    inner join limits
        on
            points.location_id = limits.location_id
            and points.measure = limits.measure
            and points.step_code = limits.step_code
    where points.is_judged
),

runs as (
    {{ run_counts("judged", keys) }}
),

latest as (
    select
        location_id,
        measure,
        step_code,
        count(value) as week_count,
        {{ settled_mean("value") }} as recent_mean,
        max(case when point_number = 0 then value end) as last_figure,
        max(case when point_number = 0 then case_count end) as last_case_count
    from points
    where is_judged
    group by location_id, measure, step_code
),

told as (
    select
        latest.*,
        coalesce(limits.point_count, 0) as point_count,
        limits.centre_value,
        limits.lower_value,
        limits.upper_value,
        coalesce(runs.outside_count, 0) as outside_count,
        coalesce(runs.longest_run, 0) as longest_run,
        coalesce(runs.crossing_count, 0) as crossing_count,
        nullif(
            concat_ws(
                '; ',
                case
                    when runs.outside_count > 0
                        then runs.outside_count || ' of ' || runs.judged_count || ' weeks outside the limits'
                end,
                case
                    when
                        runs.sided_count >= {{ fewest_points() }}
                        and runs.longest_run > {{ longest_usual_run("runs.sided_count") }}
                        then runs.longest_run || ' weeks in a row on one side of the centre'
                end,
                case
                    when runs.crossing_count < {{ fewest_crossings("runs.sided_count") }}
                        then 'only ' || runs.crossing_count || ' crossings of the centre'
                end
            ),
            ''
        ) as signal
    from latest
    left join limits
        on
            latest.location_id = limits.location_id
            and latest.measure = limits.measure
            and latest.step_code = limits.step_code
    left join runs
        on
            latest.location_id = runs.location_id
            and latest.measure = runs.measure
            and latest.step_code = runs.step_code
)

select
    location_id,
    measure,
    step_code,
    last_figure,
    last_case_count,
    recent_mean,
    cast(week_count as bigint) as week_count,
    cast(point_count as bigint) as earlier_week_count,
    centre_value as usual_centre,
    case when lower_value < 0 then 0 else lower_value end as usual_low,
    upper_value as usual_high,
    cast(outside_count as bigint) as outside_count,
    cast(longest_run as bigint) as longest_run,
    cast(crossing_count as bigint) as crossing_count,
    signal,
    case
        when centre_value is null then 'too few weeks'
        when week_count = 0 then 'not judged'
        when signal is not null then 'signal'
        else 'as usual'
    end as verdict
from told
