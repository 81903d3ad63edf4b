-- Where the hours between first call and final disposition went, each hour in one part only. On the way: in a
-- vehicle. Preparation: from start to end of embalming. Chamber: at the crematory once every paper is there, and
-- in the chamber. Paperwork: until the last paper that the act needs. Family: what is left, with all papers there.
with cases as (
    select
        cases.case_number,
        cases.location_id,
        cases.case_kind,
        cases.disposition_kind,
        cases.first_call_at as call_at,
        milestones.final_at,
        milestones.embalming_started_at,
        milestones.embalming_finished_at,
        milestones.final_action
    from {{ ref("int_cases") }} as cases
    inner join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    where
        not cases.is_held
        and not cases.is_trade_call
        and not milestones.has_held_event
        and cases.case_status <> 'cancelled'
        and milestones.final_at >= cases.first_call_at
),

papers as (
    -- A paper with a date alone says no hour: nobody can tell whether it made the person wait.
    select
        case_number,
        max(case when paper_at is not null then least(paper_at, occurred_at) end) as papers_at
    from {{ ref("int_case_papers") }}
    where action is not null and paper not in ('embalming permission', 'instruction')
    group by case_number
),

at_crematory as (
    select
        stays.case_number,
        max(stays.in_at) as in_at
    from {{ ref("int_place_stays") }} as stays
    inner join {{ ref("stg_locations") }} as places
        on stays.location_id = places.location_id
    where places.location_kind = 'crematory'
    group by stays.case_number
),

marks as (
    select
        cases.*,
        least(greatest(coalesce(papers.papers_at, cases.call_at), cases.call_at), cases.final_at) as papers_at,
        case
            when cases.final_action = 'cremation_finished' and at_crematory.in_at is not null
                then least(greatest(at_crematory.in_at, papers.papers_at, cases.call_at), cases.final_at)
            else cases.final_at
        end as chamber_from_at
    from cases
    left join papers
        on cases.case_number = papers.case_number
    left join at_crematory
        on cases.case_number = at_crematory.case_number
),

first_rides as (
    -- A record of embalming that was ended late must not count the ride as preparation too.
    select
        marks.case_number,
        min(legs.started_at) as started_at
    from marks
    inner join {{ ref("custody_legs") }} as legs
        on marks.case_number = legs.case_number
    where legs.place_id like 'vehicle:%' and legs.started_at > marks.embalming_started_at
    group by marks.case_number
),

-- Rides and preparation, cut to before and after the last paper; the chamber's hours are the chamber's alone.
busy as (
    select
        marks.case_number,
        'transport' as part,
        greatest(legs.started_at, marks.call_at) as from_at,
        least(legs.ended_at, marks.chamber_from_at) as until_at
    from marks
    inner join {{ ref("custody_legs") }} as legs
        on marks.case_number = legs.case_number
    where legs.place_id like 'vehicle:%' and legs.ended_at is not null

    union all

    select
        marks.case_number,
        'preparation' as part,
        greatest(marks.embalming_started_at, marks.call_at) as from_at,
        least(marks.embalming_finished_at, marks.chamber_from_at, first_rides.started_at) as until_at
    from marks
    left join first_rides
        on marks.case_number = first_rides.case_number
    where marks.embalming_started_at is not null and marks.embalming_finished_at is not null
),

busy_hours as (
    select
        busy.case_number,
        sum(case when busy.part = 'transport' then {{ elapsed_hours("busy.from_at", "busy.until_at") }} else 0 end)
            as transport_hours,
        sum(case when busy.part = 'preparation' then {{ elapsed_hours("busy.from_at", "busy.until_at") }} else 0 end)
            as preparation_hours,
        sum(case
            when busy.from_at < marks.papers_at
                then {{ elapsed_hours("busy.from_at", "least(busy.until_at, marks.papers_at)") }}
            else 0
        end) as busy_before_papers_hours
    from busy
    inner join marks
        on busy.case_number = marks.case_number
    where busy.from_at < busy.until_at
    group by busy.case_number
),

summed as (
    select
        marks.case_number,
        marks.location_id,
        marks.case_kind,
        marks.disposition_kind,
        marks.final_at,
        {{ elapsed_hours("marks.call_at", "marks.final_at") }} as whole_hours,
        {{ settled("coalesce(busy_hours.transport_hours, 0)") }} as transport_hours,
        {{ settled("coalesce(busy_hours.preparation_hours, 0)") }} as preparation_hours,
        {{ elapsed_hours("marks.chamber_from_at", "marks.final_at") }} as chamber_hours,
        greatest(
            {{ elapsed_hours("marks.call_at", "least(marks.papers_at, marks.chamber_from_at)") }}
            - {{ settled("coalesce(busy_hours.busy_before_papers_hours, 0)") }},
            0
        ) as paperwork_hours
    from marks
    left join busy_hours
        on marks.case_number = busy_hours.case_number
)

select
    case_number,
    location_id,
    case_kind,
    disposition_kind,
    final_at,
    whole_hours,
    transport_hours,
    preparation_hours,
    chamber_hours,
    paperwork_hours,
    whole_hours - transport_hours - preparation_hours - chamber_hours - paperwork_hours as family_hours
from summed
