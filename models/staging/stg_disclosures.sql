select
    disclosure_key,
    document,
    wording,
    applies_when,
    citation,
    status,
    file_id,
    line
from {{ source("accepted", "disclosures") }}
