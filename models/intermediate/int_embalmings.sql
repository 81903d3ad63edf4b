-- Held events are kept, marked: they prove that an embalming was written down, and count in no figure.
select
    events.case_number,
    min(case when events.action = 'embalming_started' then events.occurred_at end) as started_at,
    min(case when events.action = 'embalming_started' then cast(events.occurred_at_local as date) end) as started_date,
    min(cast(events.occurred_at_local as date)) as embalmed_date,
    min(events.place_id) as place_id,
    bool_or(events.is_held) as is_held
from {{ ref("int_custody_events") }} as events
where events.action in ('embalming_started', 'embalming_finished')
group by events.case_number
