select
    sample_id,
    location_id,
    started_at,
    started_at_local,
    minutes,
    formaldehyde_ppm,
    sample_kind,
    worker_code,
    file_id,
    line
from {{ source("accepted", "air_samples") }}
