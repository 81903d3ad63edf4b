select
    steps.case_number,
    steps.location_id,
    steps.step_code,
    steps.step_name,
    steps.case_kind,
    steps.disposition_kind,
    steps.started_week,
    weeks.first_week,
    weeks.last_date,
    steps.started_week between weeks.first_week and weeks.last_week as is_recent,
    steps.hours,
    steps.step_state = 'finished' as is_finished
from {{ ref("case_steps") }} as steps
cross join {{ ref("int_recent_weeks") }} as weeks
where
    steps.step_state in ('finished', 'open')
    and not steps.is_trade_call
    and steps.hours >= 0
    -- A year of weeks and the same week a year ago: older starts tell nobody anything new.
    and steps.started_week >= {{ add_days("weeks.last_week", -364) }}
