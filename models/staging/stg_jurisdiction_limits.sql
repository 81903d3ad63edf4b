select
    jurisdiction,
    limit_kind,
    starts_at,
    hours,
    counts,
    place_kind,
    cremated_within_hours,
    exemptions,
    citation,
    status,
    file_id,
    line
from {{ source("accepted", "jurisdiction_limits") }}
