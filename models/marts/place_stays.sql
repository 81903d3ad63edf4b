select
    case_number,
    location_id,
    in_at,
    out_at,
    in_week,
    out_week,
    not is_held as is_proven,
    file_id,
    line
from {{ ref("int_place_stays") }}
