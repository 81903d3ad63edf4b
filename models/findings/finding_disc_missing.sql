-- Of a cremation of ours, by its beginning and its end: what the crematory of others wrote is not in our records.
with cremations as (
    select
        events.case_number,
        min(events.event_number) as event_number,
        count(records.disc_number) as disc_count
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    where events.action in ('cremation_started', 'cremation_finished') and not events.is_after_end
    group by events.case_number
)

select
    {{ finding(
        "disc_missing",
        case_number="events.case_number",
        location_id="coalesce(cases.location_id, events.place_id)",
        occurred_at="events.occurred_at",
        a="events", feed_a="custody_events",
        detail=act_sentence("events") ~ " || ', and no disc is on record with it: nothing ties the remains to the chamber.' || "
            ~ not_proven_note("events.is_held")
    ) }}
from cremations
inner join {{ ref("int_custody_events") }} as events
    on cremations.case_number = events.case_number and cremations.event_number = events.event_number
left join {{ ref("int_cases") }} as cases
    on events.case_number = cases.case_number
where cremations.disc_count = 0
