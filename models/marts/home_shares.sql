-- Shares of cases, by home, with what they are shares of: the points of the funnel plots. The last 26 weeks.
with recent as (
    select
        cases.case_number,
        cases.location_id,
        cases.is_held or coalesce(milestones.has_held_event, false) as is_held_back
    from {{ ref("int_cases") }} as cases
    left join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    where
        coalesce(cases.case_status, 'open') <> 'cancelled'
        and {{ local_date("cases.first_call_at", "cases.time_zone") }} >= {{ add_days(iso_week_monday(as_of()), -182) }}
        and cases.first_call_at <= {{ as_of() }}
),

faults as (
    select case_number
    from {{ ref("custody_gaps") }}

    union

    select rejects.case_number
    from {{ source("quality", "rejects") }} as rejects
    inner join {{ source("quality", "rules") }} as rules
        on rejects.rule_code = rules.rule_code
    where rules.family = 'chains' and rejects.case_number is not null

    union

    select case_number
    from {{ ref("finding_people") }}
    where family in ('identity', 'place') and severity in ('critical', 'major')
),

shares as (
    select
        'within target' as measure,
        location_id,
        count(*) as case_count,
        count(case when is_within_target then 1 end) as event_count
    from {{ ref("int_case_mix") }}
    group by location_id

    union all

    select
        'custody fault' as measure,
        recent.location_id,
        count(*) as case_count,
        count(faults.case_number) as event_count
    from recent
    left join faults
        on recent.case_number = faults.case_number
    group by recent.location_id

    union all

    select
        'record held back' as measure,
        location_id,
        count(*) as case_count,
        count(case when is_held_back then 1 end) as event_count
    from recent
    group by location_id
)

select
    measure,
    location_id,
    cast(case_count as bigint) as case_count,
    cast(event_count as bigint) as event_count,
    {{ to_double("event_count") }} / case_count as share,
    {{ to_double("sum(event_count) over (partition by measure)") }} / sum(case_count) over (partition by measure)
        as group_share,
    cast(count(case when case_count >= {{ var("min_count") }} then 1 end) over () as bigint) as judged_count
from shares
