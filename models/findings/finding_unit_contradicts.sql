-- Told once for a unit that is named and the one it contradicts; counts are held against the record elsewhere.
with contradictions as (
    select
        events.case_number,
        events.event_number,
        events.event_id,
        events.action,
        events.place_id,
        events.occurred_at,
        events.occurred_at_local,
        records.storage_unit as unit_named,
        events.is_held,
        events.file_id,
        events.line
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    where events.is_unit_contradicted
),

paired as (
    select
        contradictions.*,
        stores.event_id as stored_event_id,
        stores.storage_unit as unit_stored,
        stores.file_id as stored_file_id,
        stores.line as stored_line,
        row_number() over (
            partition by contradictions.case_number, contradictions.event_number
            order by stores.event_number desc
        ) as store_rank
    from contradictions
    inner join {{ ref("int_custody_events") }} as stores
        on
            contradictions.case_number = stores.case_number
            and contradictions.event_number > stores.event_number
            and stores.action in ('stored', 'cremation_started')
            and stores.storage_unit is not null
),

first_told as (
    select
        *,
        row_number() over (partition by case_number, unit_named, unit_stored order by event_number) as told_rank
    from paired
    where store_rank = 1
)

select
    {{ finding(
        "unit_contradicts",
        case_number="told.case_number",
        location_id="told.place_id",
        occurred_at="told.occurred_at",
        a="told", feed_a="custody_events",
        b="told", feed_b="custody_events", file_id_b="stored_file_id", line_b="stored_line",
        detail=first_words("told.action") ~ " || ' at ' || " ~ minute_text("told.occurred_at_local")
            ~ " || ' (event ' || told.event_id || ') names ' || told.unit_named || '; the person was put in '"
            ~ " || told.unit_stored || ' (event ' || told.stored_event_id || ') and not moved since.' || "
            ~ held_back_note("told.is_held")
    ) }}
from first_told as told
where told.told_rank = 1
