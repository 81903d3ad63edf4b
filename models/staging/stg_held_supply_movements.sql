select
    movement_id,
    occurred_at,
    occurred_at_local,
    location_id,
    item_code,
    movement_kind,
    quantity,
    unit,
    lot_number,
    case_number,
    document_number,
    file_id,
    line
from {{ source("held", "supply_movements") }}
