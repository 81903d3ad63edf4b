with medians as (
    {{ survival_medians(ref("int_survival_curves"), ["cohort_id"]) }}
)

select
    cohorts.location_id,
    cohorts.step_code,
    cohorts.step_name,
    cohorts.cohort_kind,
    cohorts.cohort_start,
    cohorts.cohort_end,
    cohorts.started_count,
    cohorts.finished_count,
    cohorts.open_count,
    case when cohorts.started_count >= {{ var("min_count") }} then medians.median_hours end as median_hours,
    case when cohorts.started_count >= {{ var("min_count") }} then medians.median_low_hours end as median_low_hours,
    case when cohorts.started_count >= {{ var("min_count") }} then medians.median_high_hours end
        as median_high_hours,
    case when cohorts.finished_count >= {{ var("min_count") }} then medians.naive_median_hours end
        as naive_median_hours
from {{ ref("int_start_cohorts") }} as cohorts
inner join medians
    on cohorts.cohort_id = medians.cohort_id
