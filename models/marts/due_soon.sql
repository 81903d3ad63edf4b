-- What falls due in the next seven days: services, the papers that they wait for, and limits of the law, also
-- for cremated remains; whether the person may be moved for it stands beside.
with services as (
    select
        cases.case_number,
        cases.location_id,
        records.service_kind,
        records.service_at,
        cases.file_id,
        cases.line
    from {{ ref("int_cases") }} as cases
    inner join {{ ref("stg_cases") }} as records
        on cases.file_id = records.file_id and cases.line = records.line
    where
        not cases.is_held
        and cases.case_status = 'open'
        and records.service_at >= {{ as_of() }}
        and records.service_at < {{ add_hours(as_of(), 168) }}
),

due as (
    select
        'service' as due_kind,
        services.case_number,
        services.location_id,
        services.service_at as due_at,
        {{ elapsed_hours(as_of(), "services.service_at") }} as hours_left,
        replace(services.service_kind, '_', ' ') as detail,
        'arranging home' as owed_by,
        services.file_id,
        services.line
    from services

    union all

    select
        'paper before the service' as due_kind,
        services.case_number,
        services.location_id,
        services.service_at as due_at,
        {{ elapsed_hours(as_of(), "services.service_at") }} as hours_left,
        papers.paper || ' outstanding' as detail,
        'arranging home' as owed_by,
        services.file_id,
        services.line
    from services
    inner join {{ ref("int_case_papers") }} as papers
        on services.case_number = papers.case_number and papers.paper_state = 'outstanding'

    union all

    select
        'limit' as due_kind,
        case_number,
        location_id,
        due_at,
        hours_left,
        replace(limit_kind, '_', ' ') || ': '
        || case
            when limit_kind = 'unclaimed_remains' then {{ quantity_text("limit_hours / 24") }} || ' days'
            else {{ quantity_text("limit_hours") }} || ' hours'
        end || ' (' || citation || ')' as detail,
        case
            when limit_kind = 'preservation' then 'place where the person is'
            when limit_kind in ('holding', 'unclaimed_remains') then 'compliance officer'
            else 'arranging home'
        end as owed_by,
        file_id,
        line
    from {{ ref("limits_due") }}
    where hours_left < 168
)

select
    due.due_kind,
    due.case_number,
    due.location_id,
    due.due_at,
    due.hours_left,
    due.detail,
    due.owed_by,
    people.clearance_state,
    due.file_id,
    due.line
from due
left join {{ ref("clearances") }} as people
    on due.case_number = people.case_number
