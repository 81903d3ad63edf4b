select
    step_code,
    location_id,
    step_number,
    step_name,
    target_hours,
    owed_by,
    meaning,
    citation,
    status,
    file_id,
    line
from {{ source("accepted", "step_targets") }}
