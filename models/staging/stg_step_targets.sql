select
    step_code,
    step_name,
    target_hours,
    meaning,
    citation,
    status,
    file_id,
    line
from {{ source("accepted", "step_targets") }}
