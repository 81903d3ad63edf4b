select
    events.case_number,
    events.event_number,
    events.event_id,
    events.action,
    events.occurred_at,
    events.occurred_at_local,
    records.disc_number,
    row_number() over (partition by events.case_number order by events.event_number) as place_in_case,
    events.is_held,
    events.file_id,
    events.line
from {{ ref("stg_custody_events") }} as records
inner join {{ ref("int_custody_events") }} as events
    on records.file_id = events.file_id and records.line = events.line
where records.disc_number is not null
