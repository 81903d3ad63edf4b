with medians as (
    {{ survival_medians(
        ref("int_survival_curves"), ["location_id", "step_code", "cohort_kind", "cohort_start"]
    ) }}
),

names as (
    select
        step_code,
        max(step_name) as step_name
    from {{ ref("case_steps") }}
    group by step_code
)

select
    medians.location_id,
    medians.step_code,
    names.step_name,
    medians.cohort_kind,
    medians.cohort_start,
    case
        when medians.cohort_kind = 'week' then {{ add_days("medians.cohort_start", 6) }}
        else weeks.last_date
    end as cohort_end,
    medians.started_count,
    medians.finished_count,
    medians.open_count,
    case when medians.started_count >= {{ var("min_count") }} then medians.median_hours end as median_hours,
    case when medians.started_count >= {{ var("min_count") }} then medians.median_low_hours end as median_low_hours,
    case when medians.started_count >= {{ var("min_count") }} then medians.median_high_hours end
        as median_high_hours,
    case when medians.finished_count >= {{ var("min_count") }} then medians.naive_median_hours end
        as naive_median_hours
from medians
cross join {{ ref("int_recent_weeks") }} as weeks
inner join names
    on medians.step_code = names.step_code
