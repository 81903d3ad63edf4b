-- The contract of chains judges the same from other code. A band put on by two people with three identifiers, while the
-- person is in care, is the one expected from then on (Human Tissue Authority standard T1(c), here good practice
-- everywhere); the record of the case may tell of the first band or of one put on later.
{% set is_put_on -%}
records.action = 'band_attached' and records.identifiers_matched >= 3 and records.second_checker is not null
{%- endset %}

with case_bands as (
    select
        case_number,
        min(band_number) as case_band
    from {{ ref("stg_cases") }}
    where case_number is not null
    group by case_number
),

doubtful as (
    -- Few cases have more than one band: find them first, then look at their reads.
    select distinct
        records.case_number,
        case_bands.case_band
    from {{ ref("stg_custody_events") }} as records
    inner join case_bands
        on records.case_number = case_bands.case_number
    where
        records.action <> 'counted'
        and {{ is_readable("records.band_number") }}
        and coalesce(records.band_number <> case_bands.case_band, true)
),

adopted_later as (
    -- The case tells already of a band that is put on after the as-of instant.
    select distinct doubtful.case_number
    from doubtful
    inner join {{ ref("stg_custody_events") }} as records
        on doubtful.case_number = records.case_number and doubtful.case_band = records.band_number
    where {{ is_put_on }} and records.occurred_at > {{ as_of() }}
),

reads as (
    select
        events.case_number,
        events.event_number,
        records.band_number,
        doubtful.case_band,
        coalesce({{ is_put_on }} and events.is_opened, false) as is_put_on,
        events.file_id,
        events.line
    from doubtful
    inner join {{ ref("int_custody_events") }} as events
        on doubtful.case_number = events.case_number
    inner join {{ ref("stg_custody_events") }} as records
        on
            events.case_number = records.case_number
            and events.file_id = records.file_id
            and events.line = records.line
    where events.action <> 'counted' and not events.is_after_end and {{ is_readable("records.band_number") }}
),

segments as (
    -- From one band put on to the next.
    select
        *,
        sum(case when is_put_on then 1 else 0 end) over (
            partition by case_number order by event_number rows between unbounded preceding and current row
        ) as segment_number,
        max(case when is_put_on and band_number = case_band then 1 else 0 end) over (
            partition by case_number
        ) as adopted_here
    from reads
),

firsts as (
    select
        case_number,
        segment_number,
        min(event_number) as event_number
    from segments
    group by case_number, segment_number
),

expected as (
    select
        segments.*,
        case
            when segments.segment_number = 0 and segments.adopted_here = 0 and adopted_later.case_number is null
                then coalesce(segments.case_band, bands.band_number)
            else bands.band_number
        end as expected_band_number
    from segments
    inner join firsts
        on segments.case_number = firsts.case_number and segments.segment_number = firsts.segment_number
    inner join segments as bands
        on firsts.case_number = bands.case_number and firsts.event_number = bands.event_number
    left join adopted_later
        on segments.case_number = adopted_later.case_number
)

select
    case_number,
    event_number,
    band_number,
    expected_band_number,
    band_number <> expected_band_number as is_break,
    file_id,
    line
from expected
