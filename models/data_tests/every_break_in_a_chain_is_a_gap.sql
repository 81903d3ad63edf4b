-- What the contract names as the first break of a chain, the gaps find at the same record. (A chain that goes on after
-- the as-of instant is another chain then: the contract knows it whole.)
with goes_on as (
    select distinct case_number
    from {{ source("held", "custody_events") }}
    where occurred_at > {{ as_of() }}
),

breaks as (
    select
        rejects.case_number,
        rejects.file_id,
        rejects.line,
        rejects.rule_code,
        rejects.detail,
        case rejects.rule_code
            when 'chain_not_opened' then 'not opened'
            when 'chain_after_disposition' then 'after disposition'
            when 'chain_party_break' then 'party'
            when 'chain_place_break' then 'place'
            when 'chain_two_places_at_once' then 'time'
            when 'chain_band_mismatch' then 'band'
        end as gap_kind
    from {{ source("quality", "rejects") }} as rejects
    left join goes_on
        on rejects.case_number = goes_on.case_number
    where rejects.feed = 'custody_events' and goes_on.case_number is null
)

select
    breaks.case_number,
    breaks.file_id,
    breaks.line,
    breaks.rule_code,
    breaks.detail,
    gaps.gap_kind as gap_found
from breaks
left join {{ ref("custody_gaps") }} as gaps
    on breaks.file_id = gaps.file_id_after and breaks.line = gaps.line_after
where breaks.gap_kind is not null and gaps.gap_kind is distinct from breaks.gap_kind
