with cases as (
    -- Every case of the location counts, held back or not; cancelled ones do not.
    select
        cases.location_id,
        cast(count(*) as bigint) as case_count,
        cast(count(case when cases.case_status = 'open' then 1 end) as bigint) as open_count,
        cast(count(case when milestones.final_action = 'cremation_finished' then 1 end) as bigint) as cremation_count,
        cast(count(case when milestones.final_action in ('buried', 'entombed') then 1 end) as bigint) as burial_count,
        cast(count(case when milestones.final_action is null then 1 end) as bigint) as no_end_count,
        cast(count(case when cases.is_held or milestones.has_held_event then 1 end) as bigint) as held_case_count
    from {{ ref("int_cases") }} as cases
    left join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    where coalesce(cases.case_status, 'open') <> 'cancelled'
    group by cases.location_id
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
    -- What no credit took back, once an item of a document.
    select
        location_id,
        sum(standing_excess) as amount_above
    from (
        select distinct
            location_id,
            document_number,
            case_number,
            item_code,
            standing_excess
        from {{ ref("int_questioned_charges") }}
        where check_state = 'above list' and standing_excess > 0
    ) as standing
    group by location_id
)

select
    locations.location_id,
    locations.location_name,
    locations.location_kind,
    locations.time_zone,
    locations.jurisdiction,
    locations.is_held,
    coalesce(cases.case_count, 0) as case_count,
    coalesce(cases.open_count, 0) as open_count,
    coalesce(cases.cremation_count, 0) as cremation_count,
    coalesce(cases.burial_count, 0) as burial_count,
    coalesce(cases.case_count - cases.cremation_count - cases.burial_count - cases.no_end_count, 0) as other_end_count,
    coalesce(cases.no_end_count, 0) as no_end_count,
    coalesce(cases.held_case_count, 0) as held_case_count,
    coalesce(found.critical_count, 0) as findings_critical,
    coalesce(found.major_count, 0) as findings_major,
    cast(coalesce(charges.amount_above, 0) as decimal(38, 2)) as charges_above_list_amount
from {{ ref("stg_locations") }} as locations
left join cases
    on locations.location_id = cases.location_id
left join found
    on locations.location_id = found.location_id
left join charges
    on locations.location_id = charges.location_id
