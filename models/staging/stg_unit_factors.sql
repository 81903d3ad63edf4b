select
    unit,
    base_unit,
    factor,
    citation,
    status,
    file_id,
    line
from {{ source("accepted", "unit_factors") }}
