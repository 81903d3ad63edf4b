{#
    Whether anything on record stands against moving somebody on. No objection on record is not a
    permission: licensed practice and local law decide.
#}

with waits as (
    -- Where the cremation will be is not known yet: the longest wait of the arranging home and the
    -- group's crematories. An unknown time of death counts at its latest. Who is not known to be buried
    -- may be cremated.
    select
        cases.case_number,
        max(cases.disposition_kind) as disposition_kind,
        max({{ add_hours(limit_starts("limits", "cases", "milestones", "death_latest_at"), "limits.hours") }})
            as earliest_at
    from {{ ref("int_cases") }} as cases
    inner join {{ ref("census") }} as people
        on cases.case_number = people.case_number
    inner join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    inner join {{ ref("stg_locations") }} as places
        on places.location_kind = 'crematory' or cases.location_id = places.location_id
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on {{ limit_holds("limits", "'cremation_wait'", "places.jurisdiction", "places") }}
    where cases.disposition_kind in ('cremation', 'not known') and milestones.cremation_started_at is null
    group by cases.case_number
),

reasons as (
    select
        case_number,
        1 as rank,
        'custody ' || certainty || ': ' || rtrim(why, '.') as reason
    from {{ ref("census") }}
    where certainty <> 'proven'

    union all

    select
        case_number,
        1 as rank,
        'a hold is in force (event ' || event_id || ')' as reason
    from {{ ref("int_standing_holds") }}

    union all

    select
        case_number,
        1 as rank,
        'critical finding No. ' || cast(finding_number as varchar) || ', ' || replace(rule_code, '_', ' ') as reason
    from {{ ref("finding_people") }}
    where
        severity = 'critical'
        and answer_state <> 'answered'
        -- Those are told as custody that is contradicted or not proven.
        and rule_code not in {{ contradicting_rules() }}
        and rule_code not in {{ unproving_rules() }}

    union all

    select
        case_number,
        2 as rank,
        paper || ' outstanding' as reason
    from {{ ref("int_case_papers") }}
    where paper_state = 'outstanding'

    union all

    select
        case_number,
        2 as rank,
        'implant question not answered' as reason
    from {{ ref("int_cases") }}
    where
        (disposition_kind = 'cremation' or disposition_instruction like 'cremate%')
        and coalesce(implant_present, 'U') = 'U'

    union all

    select
        case_number,
        2 as rank,
        'disposition not known' as reason
    from {{ ref("int_cases") }}
    where disposition_kind = 'not known' and not is_trade_call and case_status = 'open'

    union all

    select
        case_number,
        2 as rank,
        'the case is cancelled: to nobody but the firm that fetches' as reason
    from {{ ref("int_cases") }}
    where case_status = 'cancelled'

    union all

    select
        case_number,
        2 as rank,
        'the ' || replace(service_kind, '_', ' ') || ' is not yet' as reason
    from {{ ref("int_cases") }}
    where service_kind in ('viewing', 'witness_cremation') and service_at > {{ as_of() }}

    union all

    select
        case_number,
        1 as rank,
        'the cremation has begun' as reason
    from {{ ref("int_case_milestones") }}
    where cremation_started_at is not null and final_at is null

    union all

    select
        case_number,
        2 as rank,
        'on the way in ' || place_id as reason
    from {{ ref("int_case_milestones") }}
    where final_at is null and place_id like 'vehicle:%'

    union all

    select
        case_number,
        2 as rank,
        'waiting period' as reason
    from waits
    where earliest_at > {{ as_of() }} and disposition_kind = 'cremation'
),

told as (
    select
        case_number,
        min(rank) as rank,
        string_agg(distinct reason, '; ' order by reason) filter (where rank = 1) as against,
        string_agg(distinct reason, '; ' order by reason) filter (where rank = 2) as outstanding
    from reasons
    group by case_number
)

select
    people.case_number,
    people.location_id,
    people.place_id,
    people.storage_unit,
    people.family_name,
    people.given_name,
    people.is_unidentified,
    people.certainty,
    cases.disposition_kind,
    cases.named_receiver,
    case coalesce(told.rank, 3)
        when 1 then 'must not move'
        when 2 then 'papers outstanding'
        else 'no objection on record'
    end as clearance_state,
    told.against,
    told.outstanding,
    waits.earliest_at as earliest_cremation_at,
    people.hours_in_care,
    people.file_id,
    people.line
from {{ ref("census") }} as people
left join {{ ref("int_cases") }} as cases
    on people.case_number = cases.case_number
left join told
    on people.case_number = told.case_number
left join waits
    on people.case_number = waits.case_number
