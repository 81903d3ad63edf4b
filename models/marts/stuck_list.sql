-- Where each open case stands: the first step on its way that has begun and not ended. The whole way from first
-- call to disposition is told only of cases that are in no other step. A case without an open step is to be closed,
-- or the times of its steps are missing.
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

ways as (
    select
        case_number,
        count(case when step_state = 'no time given' then 1 end) as untimed_step_count,
        count(case when step_state not in ('finished', 'negative') then 1 end) as unfinished_step_count,
        max(finished_at) as last_finished_at
    from {{ ref("case_steps") }}
    group by case_number
),

next_limits as (
    select
        *,
        row_number() over (partition by case_number order by hours_left, limit_kind) as limit_number
    from {{ ref("limits_due") }}
)

select
    cases.case_number,
    cases.location_id,
    coalesce(
        open_steps.step_code, case when ways.unfinished_step_count = 0 then 'to_close' else 'times_missing' end
    ) as step_code,
    coalesce(
        open_steps.step_name,
        case
            when ways.unfinished_step_count = 0 then 'Every step is done: close the case'
            else 'No step is open: times of its steps are missing'
        end
    ) as step_name,
    case
        when open_steps.case_number is not null then open_steps.started_at
        when ways.unfinished_step_count = 0 then ways.last_finished_at
    end as started_at,
    case
        when open_steps.case_number is not null then open_steps.hours
        when ways.unfinished_step_count = 0 then {{ elapsed_hours("ways.last_finished_at", as_of()) }}
    end as hours_in_step,
    open_steps.target_hours,
    open_steps.hours - open_steps.target_hours as hours_over,
    case when usual.finished_count >= {{ var("min_count") }} then usual.median_hours end as usual_hours,
    coalesce(open_steps.owed_by, case when open_steps.case_number is null then 'arranging home' end) as owed_by,
    cast(coalesce(open_steps.open_step_count, 0) as bigint) as open_step_count,
    cast(coalesce(ways.untimed_step_count, 0) as bigint) as untimed_step_count,
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
from {{ ref("int_cases") }} as cases
left join open_steps
    on cases.case_number = open_steps.case_number and open_steps.place_in_case = 1
left join {{ ref("int_case_milestones") }} as milestones
    on cases.case_number = milestones.case_number
left join usual
    on open_steps.step_code = usual.step_code
left join ways
    on cases.case_number = ways.case_number
left join next_limits
    on cases.case_number = next_limits.case_number and next_limits.limit_number = 1
where cases.case_status = 'open' and not cases.is_held and cases.first_call_at <= {{ as_of() }}
