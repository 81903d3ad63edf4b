select
    category,
    item_number,
    item_name,
    paragraph,
    citation,
    status,
    file_id,
    line
from {{ source("accepted", "price_list_items") }}
