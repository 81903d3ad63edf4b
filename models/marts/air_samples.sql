select
    sample_id,
    location_id,
    started_at,
    minutes,
    formaldehyde_ppm,
    sample_kind,
    twa_8h_ppm,
    limit_kind,
    limit_ppm,
    coalesce(result_ppm > limit_ppm, false) or coalesce(short_term_ppm > short_term_limit_ppm, false) as is_over
from {{ ref("int_air_results") }}
