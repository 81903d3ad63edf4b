-- Where each open case stands: the first step on its way that has begun and not ended. The whole way from first
-- call to disposition is told only of cases that are in no other step.
with open_steps as (
    select
        steps.*,
        row_number() over (
            partition by steps.case_number
            order by
                case when steps.step_code = 'call_to_disposition' then 1 else 0 end, steps.step_number, steps.step_code
        ) as place_in_case,
        count(*) over (partition by steps.case_number) as open_step_count
    from {{ ref("case_steps") }} as steps
    where steps.step_state = 'open'
),

usual as (
    -- What finished in the last 13 weeks, all homes.
    select
        step_code,
        count(*) as finished_count,
        {{ quantile("hours", 0.5) }} as median_hours
    from {{ ref("case_steps") }}
    where
        step_state = 'finished'
        and not is_trade_call
        and finished_week >= {{ add_days(iso_week_monday(as_of()), -91) }}
    group by step_code
),

untimed as (
    select
        case_number,
        count(*) as untimed_step_count
    from {{ ref("case_steps") }}
    where step_state = 'no time given'
    group by case_number
),

next_limits as (
    select
        *,
        row_number() over (partition by case_number order by hours_left, limit_kind) as limit_number
    from {{ ref("limits_due") }}
)

select
    open_steps.case_number,
    open_steps.location_id,
    open_steps.step_code,
    open_steps.step_name,
    open_steps.started_at,
    open_steps.hours as hours_in_step,
    open_steps.target_hours,
    open_steps.hours - open_steps.target_hours as hours_over,
    case when usual.finished_count >= {{ var("min_count") }} then usual.median_hours end as usual_hours,
    open_steps.owed_by,
    cast(open_steps.open_step_count as bigint) as open_step_count,
    cast(coalesce(untimed.untimed_step_count, 0) as bigint) as untimed_step_count,
    {{ elapsed_hours("cases.first_call_at", as_of()) }} as hours_since_call,
    milestones.place_id,
    milestones.last_action,
    milestones.last_at,
    next_limits.limit_kind as next_limit_kind,
    next_limits.due_at as next_limit_due_at,
    next_limits.hours_left as next_limit_hours_left,
    next_limits.citation as next_limit_citation,
    cases.file_id,
    cases.line
from open_steps
inner join {{ ref("int_cases") }} as cases
    on open_steps.case_number = cases.case_number
left join {{ ref("int_case_milestones") }} as milestones
    on open_steps.case_number = milestones.case_number
left join usual
    on open_steps.step_code = usual.step_code
left join untimed
    on open_steps.case_number = untimed.case_number
left join next_limits
    on open_steps.case_number = next_limits.case_number and next_limits.limit_number = 1
where open_steps.place_in_case = 1
