with counts as (
    select
        events.case_number,
        events.event_number,
        events.event_id,
        events.occurred_at,
        events.occurred_at_local,
        events.place_id as recorded_place_id,
        events.storage_unit as recorded_unit,
        records.place_id as counted_place_id,
        records.storage_unit as counted_unit,
        records.document_number,
        events.is_held,
        events.file_id,
        events.line
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    where
        events.action = 'counted'
        and records.action = 'counted'
        and (
            records.place_id is distinct from events.place_id
            or coalesce(records.storage_unit <> events.storage_unit, false)
        )
        and records.place_id is not null
),

before as (
    select
        counts.case_number,
        counts.event_number,
        max(events.event_number) as event_number_before
    from counts
    inner join {{ ref("int_custody_events") }} as events
        on
            counts.case_number = events.case_number
            and counts.event_number > events.event_number
            and events.action <> 'counted'
    group by counts.case_number, counts.event_number
)

select
    {{ finding(
        "counted_elsewhere",
        case_number="counts.case_number",
        location_id="counts.counted_place_id",
        occurred_at="counts.occurred_at",
        a="counts", feed_a="custody_events",
        b="events", feed_b="custody_events",
        detail="'Counted at ' || counts.counted_place_id || coalesce(' ' || counts.counted_unit, '') || ' at '"
            ~ " || " ~ minute_text("counts.occurred_at_local") ~ " || ' (event ' || counts.event_id"
            ~ " || coalesce(', sheet ' || counts.document_number, '') || '); the record says '"
            ~ " || coalesce(counts.recorded_place_id || coalesce(' ' || counts.recorded_unit, ''), 'no place')"
            ~ " || '.' || " ~ not_proven_note("counts.is_held")
    ) }}
from counts
left join before
    on counts.case_number = before.case_number and counts.event_number = before.event_number
left join {{ ref("int_custody_events") }} as events
    on before.case_number = events.case_number and before.event_number_before = events.event_number
