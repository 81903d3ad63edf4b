select
    document_number,
    line_number,
    document_kind,
    case_number,
    location_id,
    document_date,
    item_code,
    category,
    quantity,
    line_total,
    corrects_document,
    file_id,
    line
from {{ source("held", "statement_lines") }}
