-- What makes one case unlike another: kind of disposition, place of death, clearance by a medical examiner. The
-- last 26 weeks, by the week of final disposition.
with recent as (
    select
        steps.case_number,
        steps.location_id,
        steps.disposition_kind,
        steps.hours,
        steps.is_within_target
    from {{ ref("case_steps") }} as steps
    where
        steps.step_code = 'call_to_disposition'
        and steps.step_state = 'finished'
        and not steps.is_trade_call
        and steps.is_within_target is not null
        and steps.finished_week >= {{ add_days(iso_week_monday(as_of()), -182) }}
)

select
    recent.case_number,
    recent.location_id,
    recent.disposition_kind,
    case
        when records.place_of_death_code in ('1', '2', '3') then 'hospital'
        when records.place_of_death_code = '4' then 'home'
        when records.place_of_death_code in ('5', '6') then 'care facility'
        else 'elsewhere'
    end as place_of_death,
    cases.medical_clearance_date is not null as is_cleared_by_examiner,
    recent.hours,
    recent.is_within_target
from recent
inner join {{ ref("int_cases") }} as cases
    on recent.case_number = cases.case_number
inner join {{ ref("stg_cases") }} as records
    on cases.file_id = records.file_id and cases.line = records.line
