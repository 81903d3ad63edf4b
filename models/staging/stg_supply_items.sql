select
    item_code,
    description,
    item_kind,
    unit,
    content_ml,
    formaldehyde_index,
    list_cost,
    file_id,
    line
from {{ source("accepted", "supply_items") }}
