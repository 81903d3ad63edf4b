select
    location_id,
    list_kind,
    effective_from,
    item_code,
    category,
    description,
    price,
    price_high,
    charge_basis,
    is_declinable,
    variant,
    includes_items,
    disclosure_keys,
    file_id,
    line
from {{ source("accepted", "price_lists") }}
