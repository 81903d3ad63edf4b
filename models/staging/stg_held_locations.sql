select
    location_id,
    location_kind,
    file_id,
    line
from {{ source("held", "locations") }}
where location_id is not null
