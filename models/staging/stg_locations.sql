select
    location_id,
    location_name,
    location_kind,
    time_zone,
    jurisdiction,
    address,
    telephone,
    capacity,
    opened_date,
    closed_date,
    file_id,
    line
from {{ source("accepted", "locations") }}
