select
    location_id,
    list_kind,
    effective_from,
    item_code,
    category,
    price,
    price_high,
    file_id,
    line
from {{ source("held", "price_lists") }}
