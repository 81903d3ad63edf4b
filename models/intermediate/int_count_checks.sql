-- A physical count is the counted events that share place and sheet. Whoever came or went within an
-- hour of it was on the move while the count went round, and is not missed.
with voided as (
    select distinct corrects_event_id as event_id
    from {{ ref("stg_custody_events") }}
    where corrects_event_id is not null
),

too_late as (
    {{ dated_after_export() }}
),

bands as (
    select
        band_number,
        min(case_number) as case_number
    from (
        select
            band_number,
            case_number
        from {{ ref("int_cases") }}
        where {{ is_readable("band_number") }}

        union all

        -- Put on in the place of the case's.
        select
            band_number,
            case_number
        from {{ ref("int_bands") }}
        where not is_break
    ) as expected
    group by band_number
    having min(case_number) = max(case_number)
),

seen as (
    -- By the case; the record says where the person was at that instant.
    select
        records.place_id as location_id,
        records.document_number,
        events.occurred_at,
        events.occurred_at_local,
        events.case_number,
        records.band_number,
        events.event_number,
        events.event_id,
        records.storage_unit as counted_unit,
        events.place_id as recorded_place_id,
        events.storage_unit as recorded_unit,
        case
            when coalesce(records.place_id <> events.place_id, true) then 'elsewhere'
            when coalesce(records.storage_unit <> events.storage_unit, false) then 'other unit'
            else 'agrees'
        end as check_state,
        events.is_held,
        events.file_id,
        events.line
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    where
        events.action = 'counted'
        and records.action = 'counted'
        and records.place_id is not null
        -- A count of cremated remains sees nobody.
        and not coalesce(events.is_of_remains, false)
),

nameless as (
    -- By the band alone; a band that is one case's is that person.
    select
        records.place_id as location_id,
        records.document_number,
        records.occurred_at,
        records.occurred_at_local,
        bands.case_number,
        records.band_number,
        records.event_id,
        records.storage_unit as counted_unit,
        records.is_held,
        records.file_id,
        records.line
    from {{ ref("stg_custody_events") }} as records
    left join voided
        on records.event_id = voided.event_id
    left join too_late
        on records.file_id = too_late.file_id and records.line = too_late.line
    left join bands
        on records.band_number = bands.band_number
    where
        records.action = 'counted'
        and records.case_number is null
        and records.place_id is not null
        and records.occurred_at <= {{ as_of() }}
        and too_late.line is null
        and voided.event_id is null
),

nameless_seen as (
    select
        nameless.*,
        stays.location_id as stay_location_id,
        row_number() over (
            partition by nameless.file_id, nameless.line order by stays.in_at desc nulls last
        ) as stay_number
    from nameless
    left join {{ ref("int_place_stays") }} as stays
        on
            nameless.case_number = stays.case_number
            and nameless.occurred_at >= stays.in_at
            and coalesce(nameless.occurred_at < stays.out_at, true)
),

counted as (
    select
        location_id,
        document_number,
        occurred_at,
        occurred_at_local,
        case_number,
        band_number,
        event_number,
        event_id,
        counted_unit,
        recorded_place_id,
        recorded_unit,
        check_state,
        is_held,
        file_id,
        line
    from seen

    union all

    select
        location_id,
        document_number,
        occurred_at,
        occurred_at_local,
        case_number,
        band_number,
        null as event_number,
        event_id,
        counted_unit,
        stay_location_id as recorded_place_id,
        null as recorded_unit,
        case when stay_location_id = location_id then 'agrees' else 'unknown' end as check_state,
        is_held,
        file_id,
        line
    from nameless_seen
    where stay_number = 1
),

sheets as (
    select
        location_id,
        document_number,
        min(occurred_at) as begun_at,
        max(occurred_at) as ended_at,
        min(occurred_at_local) as begun_at_local
    from counted
    where document_number is not null
    group by location_id, document_number
),

missed as (
    select
        sheets.location_id,
        sheets.document_number,
        sheets.begun_at as occurred_at,
        sheets.begun_at_local as occurred_at_local,
        stays.case_number,
        stays.is_held,
        stays.file_id,
        stays.line
    from sheets
    inner join {{ ref("int_place_stays") }} as stays
        on
            sheets.location_id = stays.location_id
            and stays.in_at <= {{ add_hours("sheets.begun_at", -1) }}
            and coalesce(stays.out_at >= {{ add_hours("sheets.ended_at", 1) }}, true)
    left join counted
        on
            sheets.location_id = counted.location_id
            and sheets.document_number = counted.document_number
            and stays.case_number = counted.case_number
    where counted.line is null
)

select
    location_id,
    document_number,
    occurred_at,
    occurred_at_local,
    case_number,
    band_number,
    cast(event_number as integer) as event_number,
    event_id,
    counted_unit,
    recorded_place_id,
    recorded_unit,
    check_state,
    is_held,
    file_id,
    line
from counted

union all

select
    location_id,
    document_number,
    occurred_at,
    occurred_at_local,
    case_number,
    null as band_number,
    null as event_number,
    null as event_id,
    null as counted_unit,
    location_id as recorded_place_id,
    null as recorded_unit,
    'missed' as check_state,
    is_held,
    file_id,
    line
from missed
