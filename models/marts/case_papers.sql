select
    case_number,
    paper,
    paper_state,
    paper_at,
    paper_date,
    action,
    event_id,
    occurred_at,
    {{ elapsed_minutes("paper_at", "occurred_at") }} as minutes_before,
    case_file_id,
    case_line,
    case when action is not null then file_id end as act_file_id,
    case when action is not null then line end as act_line
from {{ ref("int_case_papers") }}
