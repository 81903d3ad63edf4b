-- Like with like: the share within target that each home would have with the whole group's mix of cases.
with mix as (
    select
        location_id,
        disposition_kind || ', ' || place_of_death || case when is_cleared_by_examiner then ', cleared' else '' end
            as stratum,
        is_within_target
    from {{ ref("int_case_mix") }}
),

counts as (
    select
        location_id as place,
        stratum,
        count(case when is_within_target then 1 end) as events,
        count(*) as trials
    from mix
    group by location_id, stratum
),

standard as (
    select
        stratum,
        {{ to_double("count(*)") }} as weight
    from mix
    group by stratum
)

select
    place as location_id,
    cast(events as bigint) as within_target_count,
    cast(trials as bigint) as case_count,
    case when trials >= {{ var("min_count") }} then {{ settled("crude_share") }} end as crude_share,
    case when trials >= {{ var("min_count") }} then {{ settled("standardised_share") }} end as standardised_share,
    case when trials >= {{ var("min_count") }} then {{ settled("standard_error") }} end as standard_error,
    {{ settled("covered_share") }} as covered_share,
    cast(stratum_count as bigint) as stratum_count
from ({{ directly_standardised("counts", "standard") }}) as compared
