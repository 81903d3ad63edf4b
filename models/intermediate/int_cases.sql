with held_copies as (
    -- Two contents of one key in one file are both held: the person counts once.
    select
        file_id,
        line,
        row_number() over (partition by case_number order by file_id, line) as copy_number
    from {{ ref("stg_cases") }}
    where is_held and case_number is not null
),

too_late as (
    {{ dated_after_export("cases", "first_call_at") }}
),

in_hand as (
    -- Few cases are called later, none in most runs: find them first, then look at their events.
    select distinct events.case_number
    from {{ ref("stg_custody_events") }} as events
    inner join {{ ref("stg_cases") }} as later
        on events.case_number = later.case_number
    where later.first_call_at > {{ as_of() }} and events.occurred_at <= {{ as_of() }}
),

counted as (
    -- Nobody's case yet is one that was first called after the as-of instant, unless something was done for the person
    -- by then, or the call cannot be true: then the date is wrong and the person is here.
    select
        cases.*,
        coalesce(locations.time_zone, 'UTC') as time_zone,
        locations.jurisdiction,
        coalesce(
            cases.date_of_death_earliest = cases.date_of_death_latest and cases.time_of_death <> '99:99', false
        ) as is_death_instant_known
    from {{ ref("stg_cases") }} as cases
    left join held_copies
        on
            cases.is_held
            and cases.file_id = held_copies.file_id
            and cases.line = held_copies.line
    left join {{ ref("stg_locations") }} as locations
        on cases.location_id = locations.location_id
    left join too_late
        on cases.file_id = too_late.file_id and cases.line = too_late.line
    left join in_hand
        on cases.case_number = in_hand.case_number
    where
        cases.case_number is not null
        and (not cases.is_held or held_copies.copy_number = 1)
        and (
            coalesce(cases.first_call_at <= {{ as_of() }}, true)
            or too_late.line is not null
            or in_hand.case_number is not null
        )
),

died as (
    -- The clock of the place of death is not in the feed: the arranging home's zone stands for it.
    select
        *,
        case
            when is_death_instant_known
                then {{ utc_of_local(
                    "cast(cast(date_of_death_earliest as varchar) || ' ' || time_of_death || ':00' as timestamp)",
                    "time_zone"
                ) }}
        end as died_at
    from counted
)

-- Papers and acts as they were at the as-of instant: what came later was not there yet.
select
    case_number,
    location_id,
    time_zone,
    jurisdiction,
    case when closed_at > {{ as_of() }} then 'open' else case_status end as case_status,
    family_name,
    given_name,
    birth_family_name,
    coalesce(is_unidentified, false) as is_unidentified,
    sex,
    date_of_birth_earliest,
    date_of_birth_latest,
    date_of_death_earliest,
    date_of_death_latest,
    pronounced_at,
    coalesce(died_at, pronounced_at) as death_at,
    coalesce(
        died_at, {{ utc_of_local("cast(date_of_death_earliest as timestamp)", "time_zone") }}
    ) as death_earliest_at,
    coalesce(
        died_at,
        least(
            {{ utc_of_local("cast(" ~ add_days("date_of_death_latest", 1) ~ " as timestamp)", "time_zone") }},
            coalesce(pronounced_at, first_call_at),
            first_call_at
        )
    ) as death_latest_at,
    body_weight_kg,
    band_number,
    first_call_at,
    {{ by_now("arrangement_at") }} as arrangement_at,
    {{ by_now("certificate_signed_at") }} as certificate_signed_at,
    {{ day_by_now("certificate_signed", "time_zone") }} as certificate_signed_date,
    {{ by_now("certificate_filed_at") }} as certificate_filed_at,
    {{ day_by_now("certificate_filed", "time_zone") }} as certificate_filed_date,
    permit_number,
    {{ by_now("permit_issued_at") }} as permit_issued_at,
    {{ day_by_now("permit_issued", "time_zone") }} as permit_issued_date,
    {{ by_now("cremation_authorised_at") }} as cremation_authorised_at,
    {{ day_by_now("cremation_authorised", "time_zone") }} as cremation_authorised_date,
    {{ by_now("medical_clearance_at") }} as medical_clearance_at,
    {{ day_by_now("medical_clearance", "time_zone") }} as medical_clearance_date,
    {{ by_now("embalming_approved_at") }} as embalming_approved_at,
    {{ day_by_now("embalming_approved", "time_zone") }} as embalming_approved_date,
    implant_present,
    {{ by_now("implant_removed_at") }} as implant_removed_at,
    {{ day_by_now("implant_removed", "time_zone") }} as implant_removed_date,
    disposition_code,
    case
        when disposition_code in ('B', 'E') then 'burial'
        when disposition_code = 'C' then 'cremation'
        when disposition_code in ('D', 'R', 'O') then 'other'
        else 'not known'
    end as disposition_kind,
    disposition_instruction,
    {{ by_now("instruction_given_at") }} as instruction_given_at,
    {{ day_by_now("instruction_given", "time_zone") }} as instruction_given_date,
    service_kind,
    -- Planned ahead: not cut at the as-of instant.
    service_at,
    named_receiver,
    remains_receivers,
    remains_disc_number,
    remains_mass_g,
    case when is_autopsied then 'autopsied' else 'intact' end as case_kind,
    coalesce(is_trade_call, false) as is_trade_call,
    {{ by_now("closed_at") }} as closed_at,
    is_held,
    file_id,
    line
from died
