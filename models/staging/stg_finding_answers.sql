select
    finding_number,
    decision,
    decided_by,
    decided_on,
    reason,
    expires_on,
    file_id,
    line
from {{ source("accepted", "finding_answers") }}
