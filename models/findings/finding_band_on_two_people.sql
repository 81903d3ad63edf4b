with shared_bands as (
    -- Few bands are read in two cases: find them first, then look at their records.
    select band_number
    from {{ ref("stg_custody_events") }}
    where case_number is not null and {{ is_readable("band_number") }}
    group by band_number
    having min(case_number) <> max(case_number)
),

reads as (
    select
        shared_bands.band_number,
        events.case_number,
        events.event_id,
        events.occurred_at,
        events.occurred_at_local,
        events.is_held,
        events.file_id,
        events.line,
        row_number() over (
            partition by shared_bands.band_number, events.case_number order by events.event_number
        ) as read_number
    from shared_bands
    inner join {{ ref("stg_custody_events") }} as records
        on shared_bands.band_number = records.band_number
    inner join {{ ref("int_custody_events") }} as events
        on records.file_id = events.file_id and records.line = events.line
),

first_reads as (
    select
        *,
        lag(case_number) over (partition by band_number order by occurred_at, case_number) as earlier_case_number
    from reads
    where read_number = 1
)

select
    {{ finding(
        "band_on_two_people",
        case_number="later.case_number",
        location_id="cases.location_id",
        occurred_at="later.occurred_at",
        a="later", feed_a="custody_events",
        b="earlier", feed_b="custody_events",
        detail="'Band ' || later.band_number || ' was read on this person at ' || "
            ~ minute_text("later.occurred_at_local") ~ " || ' (event ' || later.event_id"
            ~ " || ') and on case ' || earlier.case_number || ' at ' || "
            ~ minute_text("earlier.occurred_at_local") ~ " || ' (event ' || earlier.event_id || ').' || "
            ~ held_back_note("later.is_held or earlier.is_held")
    ) }}
from first_reads as later
inner join first_reads as earlier
    on later.earlier_case_number = earlier.case_number and later.band_number = earlier.band_number
left join {{ ref("int_cases") }} as cases
    on later.case_number = cases.case_number
