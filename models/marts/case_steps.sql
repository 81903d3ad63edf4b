select
    case_number,
    location_id,
    case_kind,
    disposition_kind,
    step_code,
    step_name,
    step_number,
    owed_by,
    started_at,
    finished_at,
    hours,
    step_state,
    target_hours,
    is_within_target,
    started_week,
    finished_week
from {{ ref("int_case_steps") }}
