with found as (
    -- An event is one gap: of a party or a place before that of a band.
    select
        events.case_number,
        events.event_number,
        events.event_id,
        events.occurred_at,
        events.file_id,
        events.line,
        coalesce(events.break_kind, 'band') as break_kind,
        case when events.break_kind is null then bands.expected_band_number end as band_expected,
        case when events.break_kind is null then bands.band_number end as band_found
    from {{ ref("int_custody_events") }} as events
    left join {{ ref("int_bands") }} as bands
        on events.case_number = bands.case_number and events.event_number = bands.event_number and bands.is_break
    where events.break_kind is not null or bands.is_break
),

numbered as (
    select
        *,
        row_number() over (partition by case_number, break_kind order by event_number) as number_of_kind
    from found
),

breaks as (
    -- A chain that nothing opened is one gap, not one for each of its events.
    select *
    from numbered
    where break_kind <> 'not opened' or number_of_kind = 1
),

before as (
    select
        breaks.case_number,
        breaks.event_number,
        max(events.event_number) as event_number_before
    from breaks
    inner join {{ ref("int_custody_events") }} as events
        on
            breaks.case_number = events.case_number
            and breaks.event_number > events.event_number
            and events.action <> 'counted'
    group by breaks.case_number, breaks.event_number
)

select
    breaks.case_number,
    cast(row_number() over (partition by breaks.case_number order by breaks.event_number) as integer) as gap_number,
    breaks.break_kind as gap_kind,
    events.event_id as event_id_before,
    events.file_id as file_id_before,
    events.line as line_before,
    breaks.event_id as event_id_after,
    breaks.file_id as file_id_after,
    breaks.line as line_after,
    events.party_id as party_expected,
    case when breaks.break_kind = 'party' then coalesce(records.from_party, records.to_party) end as party_found,
    events.place_id as place_expected,
    case when breaks.break_kind in ('place', 'time') then records.place_id end as place_found,
    breaks.band_expected,
    breaks.band_found,
    {{ elapsed_minutes("events.occurred_at", "breaks.occurred_at") }} as minutes,
    breaks.occurred_at
from breaks
inner join {{ ref("stg_custody_events") }} as records
    on breaks.file_id = records.file_id and breaks.line = records.line
left join before
    on breaks.case_number = before.case_number and breaks.event_number = before.event_number
left join {{ ref("int_custody_events") }} as events
    on before.case_number = events.case_number and before.event_number_before = events.event_number
