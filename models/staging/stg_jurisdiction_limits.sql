select
    jurisdiction,
    limit_kind,
    starts_at,
    hours,
    exemptions,
    citation,
    status,
    file_id,
    line
from {{ source("accepted", "jurisdiction_limits") }}
