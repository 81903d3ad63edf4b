select
    paper,
    paper_state,
    case_number,
    location_id,
    event_id,
    action,
    occurred_at,
    occurred_at_local,
    place_id,
    paper_at,
    paper_at_local,
    paper_date,
    case
        when paper_state = 'late' and paper_at is not null then {{ elapsed_minutes("occurred_at", "paper_at") }}
        when paper_state = 'late'
            then {{ elapsed_minutes("occurred_at_local", "cast(paper_date as timestamp)") }}
    end as minutes_late,
    is_held,
    file_id,
    line,
    case_file_id,
    case_line
from {{ ref("int_case_papers") }}
where paper_state in ('missing', 'late', 'not provable')
