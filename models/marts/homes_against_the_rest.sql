with times as (
    select
        location_id,
        step_code,
        case_kind,
        disposition_kind,
        hours,
        cast(count(case when is_finished then 1 end) as bigint) as finished_count,
        cast(count(case when not is_finished then 1 end) as bigint) as open_count
    from {{ ref("int_started_steps") }}
    where is_recent
    group by location_id, step_code, case_kind, disposition_kind, hours
),

tested as (
    {{ log_rank("times", ["step_code"], ["case_kind", "disposition_kind"]) }}
),

beside as (
    select
        step_code,
        location_id,
        started_count,
        finished_count,
        open_count,
        {{ settled("expected_count") }} as expected_count,
        {{ settled("variance") }} as variance,
        cast(sum(started_count) over (partition by step_code) - started_count as bigint) as rest_started_count,
        cast(sum(finished_count) over (partition by step_code) - finished_count as bigint) as rest_finished_count,
        cast(sum(open_count) over (partition by step_code) - open_count as bigint) as rest_open_count,
        {{ settled(chi_square("finished_count", settled("expected_count"), settled("variance"))) }} as chi_square
    from tested
),

judged as (
    select
        beside.*,
        beside.started_count >= {{ var("min_count") }} and beside.rest_started_count >= {{ var("min_count") }}
            as is_enough
    from beside
)

select
    judged.location_id,
    judged.step_code,
    cohorts.step_name,
    cohorts.cohort_start,
    cohorts.cohort_end,
    judged.started_count,
    judged.finished_count,
    judged.open_count,
    judged.rest_started_count,
    judged.rest_finished_count,
    judged.rest_open_count,
    case when judged.is_enough then judged.finished_count end as observed_count,
    case when judged.is_enough then judged.expected_count end as expected_count,
    case when judged.is_enough then judged.variance end as variance,
    case when judged.is_enough then judged.chi_square end as chi_square,
    case when judged.is_enough then {{ chi_square_tail("judged.chi_square") }} end as p_value,
    cast(
        count(case when judged.is_enough then judged.chi_square end) over (partition by judged.step_code) as bigint
    ) as homes_compared_count
from judged
inner join {{ ref("int_start_cohorts") }} as cohorts
    on
        judged.location_id = cohorts.location_id
        and judged.step_code = cohorts.step_code
        and cohorts.cohort_kind = '{{ recent_weeks() }} weeks'
