with cases as (
    -- Every case of the location counts, held back or not; cancelled ones do not.
    select
        cases.location_id,
        cast(count(*) as bigint) as case_count,
        cast(count(case when cases.case_status = 'open' then 1 end) as bigint) as open_count,
        cast(count(case when milestones.final_action = 'cremation_finished' then 1 end) as bigint) as cremation_count,
        cast(count(case when milestones.final_action in ('buried', 'entombed') then 1 end) as bigint) as burial_count,
        cast(count(case when cases.is_held or milestones.has_held_event then 1 end) as bigint) as held_case_count
    from {{ ref("int_cases") }} as cases
    left join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    where coalesce(cases.case_status, 'open') <> 'cancelled'
    group by cases.location_id
),

steps as (
    select
        location_id,
        cast(count(*) as bigint) as finished_count,
        {{ quantile("hours", 0.5) }} as median_hours,
        {{ quantile("hours", 0.9) }} as p90_hours,
        count(case when is_within_target then 1 end) as within_target_count,
        count(is_within_target) as judged_count
    from {{ ref("case_steps") }}
    where step_code = 'call_to_disposition' and step_state = 'finished'
    group by location_id
),

found as (
    select
        findings.location_id,
        cast(count(case when rules.severity = 'critical' then 1 end) as bigint) as critical_count,
        cast(count(case when rules.severity = 'major' then 1 end) as bigint) as major_count
    from {{ ref("all_findings") }} as findings
    left join {{ source("quality", "rules") }} as rules
        on findings.rule_code = rules.rule_code
    group by findings.location_id
),

charges as (
    select
        location_id,
        sum(difference) as amount_above
    from {{ ref("charges_checked") }}
    where check_state = 'above list' and document_kind <> 'estimate'
    group by location_id
),

chemicals as (
    select
        location_id,
        {{ to_double("sum(" ~ as_summable("formaldehyde_g_intact + formaldehyde_g_autopsied") ~ ")") }}
            as formaldehyde_g,
        sum(embalmings_intact + embalmings_autopsied) as embalmings
    from {{ ref("chemical_use_by_week") }}
    group by location_id
)

select
    locations.location_id,
    locations.location_name,
    locations.location_kind,
    locations.time_zone,
    locations.jurisdiction,
    coalesce(cases.case_count, 0) as case_count,
    coalesce(cases.open_count, 0) as open_count,
    coalesce(cases.cremation_count, 0) as cremation_count,
    coalesce(cases.burial_count, 0) as burial_count,
    coalesce(steps.finished_count, 0) as finished_count,
    case when steps.finished_count >= {{ var("min_count") }} then steps.median_hours end
        as median_hours_call_to_disposition,
    case when steps.finished_count >= {{ var("min_count") }} then steps.p90_hours end
        as p90_hours_call_to_disposition,
    case
        when steps.finished_count >= {{ var("min_count") }}
            then {{ to_double("steps.within_target_count") }} / nullif(steps.judged_count, 0)
    end as within_target_share,
    coalesce(cases.held_case_count, 0) as held_case_count,
    coalesce(found.critical_count, 0) as findings_critical,
    coalesce(found.major_count, 0) as findings_major,
    cast(coalesce(charges.amount_above, 0) as decimal(38, 2)) as charges_above_list_amount,
    {{ to_double("chemicals.formaldehyde_g / nullif(chemicals.embalmings, 0)") }} as formaldehyde_g_per_embalming
from {{ ref("stg_locations") }} as locations
left join cases
    on locations.location_id = cases.location_id
left join steps
    on locations.location_id = steps.location_id
left join found
    on locations.location_id = found.location_id
left join charges
    on locations.location_id = charges.location_id
left join chemicals
    on locations.location_id = chemicals.location_id
