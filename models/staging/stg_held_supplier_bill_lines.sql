select
    supplier_code,
    bill_number,
    line_number,
    bill_date,
    location_id,
    item_code,
    quantity,
    line_total,
    delivery_document,
    case_number,
    file_id,
    line
from {{ source("held", "supplier_bill_lines") }}
