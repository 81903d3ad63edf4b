select
    supplier_code,
    bill_number,
    line_number,
    bill_date,
    location_id,
    item_code,
    description,
    quantity,
    unit_cost,
    line_total,
    delivery_document,
    case_number,
    file_id,
    line
from {{ source("accepted", "supplier_bill_lines") }}
