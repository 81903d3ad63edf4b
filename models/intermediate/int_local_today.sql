select
    location_id,
    {{ local_date(as_of(), "time_zone") }} as today_date
from {{ ref("stg_locations") }}
