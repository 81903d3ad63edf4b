with doubtful as (
    -- Few cases have such a band: find them first, then look at their reads.
    select distinct case_number
    from {{ ref("stg_custody_events") }}
    where band_number = 'UNREADABLE' and case_number is not null
),

reads as (
    select
        events.case_number,
        events.event_number,
        events.event_id,
        events.action,
        events.occurred_at,
        events.occurred_at_local,
        events.is_held,
        events.file_id,
        events.line,
        records.band_number = 'UNREADABLE' as is_unreadable,
        {{ is_readable("records.band_number") }} and records.second_checker is not null as is_confirmed
    from doubtful
    inner join {{ ref("int_custody_events") }} as events
        on doubtful.case_number = events.case_number
    inner join {{ ref("stg_custody_events") }} as records
        on
            events.case_number = records.case_number
            and events.file_id = records.file_id
            and events.line = records.line
    where records.band_number is not null
),

judged as (
    select
        case_number,
        min(case when is_unreadable then event_number end) as first_unreadable_number,
        max(case when is_unreadable then event_number end) as last_unreadable_number,
        max(case when is_confirmed then event_number end) as last_confirmed_number
    from reads
    group by case_number
)

select
    {{ finding(
        "band_unreadable",
        case_number="reads.case_number",
        location_id="cases.location_id",
        occurred_at="reads.occurred_at",
        a="reads", feed_a="custody_events",
        detail="'The band could not be read at ' || " ~ minute_text("reads.occurred_at_local")
            ~ " || ' (' || replace(reads.action, '_', ' ') || ', event ' || reads.event_id"
            ~ " || ') and no two people have read it since.' || " ~ held_back_note("reads.is_held")
    ) }}
from judged
inner join reads
    on judged.case_number = reads.case_number and judged.first_unreadable_number = reads.event_number
left join {{ ref("int_cases") }} as cases
    on judged.case_number = cases.case_number
where coalesce(judged.last_confirmed_number < judged.last_unreadable_number, true)
