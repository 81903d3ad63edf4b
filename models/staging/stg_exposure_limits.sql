select
    limit_kind,
    limit_ppm,
    minutes,
    citation,
    status,
    file_id,
    line
from {{ source("accepted", "exposure_limits") }}
