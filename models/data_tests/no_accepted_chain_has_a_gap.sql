select
    gaps.case_number,
    gaps.gap_kind,
    gaps.event_id_before,
    gaps.event_id_after,
    gaps.file_id_after,
    gaps.line_after
from {{ ref("custody_gaps") }} as gaps
inner join {{ source("accepted", "custody_events") }} as events
    on gaps.file_id_after = events.file_id and gaps.line_after = events.line
