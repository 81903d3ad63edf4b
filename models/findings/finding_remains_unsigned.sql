select
    {{ finding(
        "remains_unsigned",
        case_number="events.case_number",
        location_id="cases.location_id",
        occurred_at="events.occurred_at",
        a="events", feed_a="custody_events",
        detail="'Cremated remains were handed out at ' || " ~ minute_text("events.occurred_at_local")
            ~ " || ' (event ' || events.event_id || ') and '"
            ~ " || case when records.received_by is null and records.released_by is null then 'neither side signed.'"
            ~ " when records.received_by is null then 'nobody signed for receiving them.'"
            ~ " else 'nobody signed for giving them.' end || " ~ held_back_note("events.is_held")
    ) }}
from {{ ref("int_custody_events") }} as events
inner join {{ ref("stg_custody_events") }} as records
    on events.file_id = records.file_id and events.line = records.line
left join {{ ref("int_cases") }} as cases
    on events.case_number = cases.case_number
where
    events.action = 'remains_released'
    and records.action = 'remains_released'
    and (records.received_by is null or records.released_by is null)
