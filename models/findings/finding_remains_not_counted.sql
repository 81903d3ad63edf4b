-- The newest count of each place that read a disc: only such a one went along the shelves of remains. Remains that came
-- or moved within the hour of it, or since, are not missed.
with reads as (
    select
        records.place_id,
        records.document_number,
        records.case_number,
        records.disc_number,
        records.occurred_at,
        records.occurred_at_local
    from {{ ref("stg_custody_events") }} as records
    where
        records.action = 'counted'
        and records.disc_number is not null
        and records.document_number is not null
        and records.occurred_at <= {{ as_of() }}
),

sheets as (
    select
        place_id,
        document_number,
        min(occurred_at) as begun_at,
        min(occurred_at_local) as begun_at_local,
        row_number() over (partition by place_id order by min(occurred_at) desc, document_number desc) as newest_number
    from reads
    group by place_id, document_number
),

kept as (
    select
        remains.*,
        sheets.document_number,
        sheets.begun_at,
        sheets.begun_at_local
    from sheets
    inner join {{ ref("int_remains") }} as remains
        on
            sheets.place_id = remains.place_id
            and remains.is_in_keeping
            and remains.occurred_at <= {{ add_hours("sheets.begun_at", -1) }}
    where sheets.newest_number = 1
)

select
    {{ finding(
        "remains_not_counted",
        case_number="kept.case_number",
        location_id="kept.place_id",
        occurred_at="kept.begun_at",
        a="kept", feed_a="custody_events",
        detail="'The record has the remains at ' || kept.place_id || coalesce(' ' || kept.storage_unit, '') || ', disc '"
            ~ " || coalesce(kept.disc_number, 'not on record') || '; the count of shelves of '"
            ~ " || " ~ minute_text("kept.begun_at_local") ~ " || ' (sheet ' || kept.document_number || ') did not see them.' || "
            ~ not_proven_note("kept.is_held")
    ) }}
from kept
where
    not exists (
        select 1
        from reads
        where
            reads.place_id = kept.place_id
            and reads.document_number = kept.document_number
            and (reads.case_number = kept.case_number or reads.disc_number = kept.disc_number)
    )
    and not exists (
        select 1
        from {{ ref("int_custody_events") }} as events
        where
            events.case_number = kept.case_number
            and events.occurred_at > {{ add_hours("kept.begun_at", -1) }}
            and (events.is_of_remains or events.action in {{ remains_actions() }})
    )
