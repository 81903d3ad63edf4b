-- The newest count of each place that read a disc: only such a one went along the shelves of remains. Remains that came
-- or moved within the hour of it, or since, are not missed; those whose disc was read at another place are told by it.
with voided as (
    select distinct corrects_event_id as event_id
    from {{ ref("stg_custody_events") }}
    where corrects_event_id is not null
),

too_late as (
    {{ dated_after_export() }}
),

owners as (
    select
        disc_number,
        min(case_number) as case_number
    from {{ ref("int_remains") }}
    where disc_number is not null
    group by disc_number
),

reads as (
    -- By the case, else by the disc.
    select
        coalesce(records.case_number, owners.case_number) as case_number,
        records.event_id,
        records.place_id,
        records.document_number,
        records.occurred_at,
        records.occurred_at_local,
        records.is_held,
        records.file_id,
        records.line
    from {{ ref("stg_custody_events") }} as records
    left join owners
        on records.disc_number = owners.disc_number
    left join voided
        on records.event_id = voided.event_id
    left join too_late
        on records.file_id = too_late.file_id and records.line = too_late.line
    where
        records.action = 'counted'
        and records.disc_number is not null
        and records.place_id is not null
        and records.occurred_at <= {{ as_of() }}
        and voided.event_id is null
        and too_late.line is null
),

newest_reads as (
    select
        *,
        row_number() over (
            partition by case_number order by occurred_at desc, event_id desc, file_id desc, line desc
        ) as newest_number
    from reads
    where case_number is not null
),

sheets as (
    select
        place_id,
        document_number,
        min(occurred_at) as begun_at,
        min(occurred_at_local) as begun_at_local,
        row_number() over (partition by place_id order by min(occurred_at) desc, document_number desc) as newest_number
    from reads
    where document_number is not null
    group by place_id, document_number
),

moves as (
    -- When remains came or were moved last; a count moves nothing.
    select
        case_number,
        max(occurred_at) as moved_at
    from {{ ref("int_custody_events") }}
    where
        action <> 'counted'
        and (is_of_remains or action in {{ remains_actions() }} or action = 'cremation_finished')
    group by case_number
),

kept as (
    select
        remains.case_number,
        remains.place_id,
        remains.storage_unit,
        remains.disc_number,
        remains.is_held,
        remains.file_id,
        remains.line,
        moves.moved_at,
        newest_reads.place_id as read_place_id,
        newest_reads.event_id as read_event_id,
        newest_reads.occurred_at as read_at,
        newest_reads.occurred_at_local as read_at_local
    from {{ ref("int_remains") }} as remains
    inner join moves
        on remains.case_number = moves.case_number
    left join newest_reads
        on remains.case_number = newest_reads.case_number and newest_reads.newest_number = 1
    where remains.is_in_keeping
),

missed as (
    select
        kept.*,
        sheets.document_number,
        sheets.begun_at,
        sheets.begun_at_local,
        coalesce(kept.read_place_id <> kept.place_id and kept.read_at > kept.moved_at, false) as is_elsewhere
    from kept
    left join sheets
        on
            kept.place_id = sheets.place_id
            and sheets.newest_number = 1
            and kept.moved_at <= {{ add_hours("sheets.begun_at", -1) }}
    where
        sheets.place_id is not null
        or (kept.read_place_id <> kept.place_id and kept.read_at > kept.moved_at)
)

select
    {{ finding(
        "remains_not_counted",
        case_number="missed.case_number",
        location_id="missed.place_id",
        occurred_at="case when missed.is_elsewhere then missed.read_at else missed.begun_at end",
        a="missed", feed_a="custody_events",
        detail="'The record has the remains at ' || missed.place_id || coalesce(' ' || missed.storage_unit, '') || ', disc '"
            ~ " || coalesce(missed.disc_number, 'not on record') || '; ' || case when missed.is_elsewhere then"
            ~ " 'they were counted at ' || missed.read_place_id || ' at ' || " ~ minute_text("missed.read_at_local")
            ~ " || ' (event ' || missed.read_event_id || ').' else 'the count of shelves of ' || "
            ~ minute_text("missed.begun_at_local") ~ " || ' (sheet ' || missed.document_number || ') did not see them.' end || "
            ~ held_back_note("missed.is_held")
    ) }}
from missed
left join reads
    on
        missed.case_number = reads.case_number
        and missed.place_id = reads.place_id
        and missed.document_number = reads.document_number
where missed.is_elsewhere or reads.line is null
