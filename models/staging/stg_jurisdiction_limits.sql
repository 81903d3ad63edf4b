select
    jurisdiction,
    limit_kind,
    starts_at,
    hours,
    counts,
    exemptions,
    citation,
    status,
    file_id,
    line
from {{ source("accepted", "jurisdiction_limits") }}
