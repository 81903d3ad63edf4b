-- 40 F is 4.44 C: a reading of 4.5 is that one, rounded up. Each person is told once, with the warmest reading; where
-- the person was already on the way to the chamber or let go, no storage is read; cremated remains need no cold.
{% set warmest_allowed = 4.5 %}

with readings as (
    select
        events.case_number,
        events.event_id,
        events.action,
        events.place_id,
        events.occurred_at,
        events.occurred_at_local,
        events.is_held,
        events.file_id,
        events.line,
        records.temperature_c,
        row_number() over (
            partition by events.case_number order by records.temperature_c desc, events.event_number asc
        ) as warmth_rank,
        count(*) over (partition by events.case_number) as warm_count
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    where
        records.temperature_c > {{ warmest_allowed }}
        and events.action in ('refrigerated', 'stored', 'reviewed', 'counted')
        and not coalesce(events.is_of_remains, false)
)

select
    {{ finding(
        "storage_warm",
        case_number="told.case_number",
        location_id="told.place_id",
        occurred_at="told.occurred_at",
        a="told", feed_a="custody_events",
        measured_value="told.temperature_c",
        limit_value=warmest_allowed,
        value_unit="celsius",
        detail="'The storage is read at ' || " ~ number_text("told.temperature_c", 1) ~ " || ' C at '
            || " ~ minute_text("told.occurred_at_local") ~ " || ' (' || replace(told.action, '_', ' ') || ', event '
            || told.event_id || '), the warmest of ' || cast(told.warm_count as varchar)
            || ' such readings; refrigeration is at most 40 F, which is 4.4 C.' || " ~ held_back_note("told.is_held")
    ) }}
from readings as told
where told.warmth_rank = 1
