with held_copies as (
    -- Two contents of one key in one file are both held: the person counts once.
    select
        file_id,
        line,
        row_number() over (partition by case_number order by file_id, line) as copy_number
    from {{ ref("stg_cases") }}
    where is_held and case_number is not null
),

counted as (
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
    where cases.case_number is not null and (not cases.is_held or held_copies.copy_number = 1)
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

select
    case_number,
    location_id,
    time_zone,
    jurisdiction,
    case_status,
    family_name,
    given_name,
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
    arrangement_at,
    certificate_signed_at,
    certificate_signed_date,
    certificate_filed_at,
    certificate_filed_date,
    permit_number,
    permit_issued_at,
    permit_issued_date,
    cremation_authorised_at,
    cremation_authorised_date,
    medical_clearance_at,
    medical_clearance_date,
    embalming_approved_at,
    embalming_approved_date,
    implant_present,
    implant_removed_at,
    implant_removed_date,
    disposition_code,
    case
        when disposition_code in ('B', 'E') then 'burial'
        when disposition_code = 'C' then 'cremation'
        when disposition_code in ('D', 'R', 'O') then 'other'
        else 'not known'
    end as disposition_kind,
    disposition_instruction,
    instruction_given_at,
    instruction_given_date,
    remains_disc_number,
    remains_mass_g,
    case when is_autopsied then 'autopsied' else 'intact' end as case_kind,
    coalesce(is_trade_call, false) as is_trade_call,
    closed_at,
    is_held,
    file_id,
    line
from died
