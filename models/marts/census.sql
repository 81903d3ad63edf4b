-- Everyone in care at the as-of instant, and how sure the record is: the worst doubt counts.
with newest_events as (
    select
        case_number,
        max(event_number) as event_number
    from {{ ref("int_custody_events") }}
    where not is_after_end
    group by case_number
),

here_since as (
    select
        case_number,
        max(started_at) as started_at
    from (
        select
            legs.case_number,
            legs.started_at,
            legs.place_id,
            lag(legs.place_id) over (partition by legs.case_number order by legs.leg_number) as place_before
        from {{ ref("custody_legs") }} as legs
        inner join {{ ref("custody_cases") }} as cases
            on legs.case_number = cases.case_number
        where cases.is_in_care
    ) as legs
    where place_id is distinct from place_before
    group by case_number
),

newest_checks as (
    -- What the newest count said; a move after it makes it old.
    select
        checks.case_number,
        checks.check_state,
        checks.location_id,
        checks.occurred_at_local,
        row_number() over (
            partition by checks.case_number
            order by checks.occurred_at desc, checks.check_state desc, checks.location_id desc
        ) as check_number
    from {{ ref("int_count_checks") }} as checks
    inner join here_since
        on checks.case_number = here_since.case_number and checks.occurred_at >= here_since.started_at
),

doubts as (
    select
        case_number,
        1 as rank,
        'Records contradict (' || gap_kind || '): event ' || event_id_after || ' does not follow '
        || coalesce(event_id_before, 'any event') || '.' as why
    from {{ ref("custody_gaps") }}
    where gap_number = 1

    union all

    select
        case_number,
        1 as rank,
        case
            when check_state = 'missed' then 'Not seen in the count of '
            when check_state = 'unknown' then 'Seen without a case in the count of '
            else 'Seen in the count of '
        end
        || location_id || ' at ' || {{ minute_text("occurred_at_local") }}
        || case when check_state = 'missed' then '.' else ', which is not where the record says.' end as why
    from newest_checks
    where check_number = 1 and check_state <> 'agrees'

    union all

    select
        case_number,
        case when rule_code in {{ contradicting_rules() }} then 1 else 2 end as rank,
        'No. ' || cast(finding_number as varchar) || ', ' || replace(rule_code, '_', ' ') || '.' as why
    from {{ ref("finding_people") }}
    where
        (rule_code in {{ contradicting_rules() }} or rule_code in {{ unproving_rules() }})
        and answer_state <> 'answered'

    union all

    select
        cases.case_number,
        2 as rank,
        'A record of the case or of its custody is held back'
        || case
            when milestones.untimed_count > 0
                then
                    '; of ' || cast(milestones.untimed_count as varchar)
                    || case when milestones.untimed_count = 1 then ' custody record' else ' custody records' end
                    || ' the time is missing or cannot be true, so the place does not follow from it.'
            else '.'
        end as why
    from {{ ref("custody_cases") }} as cases
    left join {{ ref("int_case_milestones") }} as milestones
        on cases.case_number = milestones.case_number
    where cases.custody_status = 'not proven'
),

worst_doubts as (
    select
        case_number,
        rank,
        {{ list_text("why", " ") }} as why,
        row_number() over (partition by case_number order by rank) as doubt_number
    from doubts
    group by case_number, rank
)

select
    cases.case_number,
    cases.location_id,
    cases.family_name,
    cases.given_name,
    cases.is_unidentified,
    cases.party_id,
    cases.place_id,
    cases.storage_unit,
    milestones.in_care_since,
    {{ elapsed_hours("milestones.in_care_since", as_of()) }} as hours_in_care,
    here_since.started_at as here_since,
    newest.action as seen_action,
    newest.occurred_at as seen_at,
    {{ elapsed_hours("newest.occurred_at", as_of()) }} as hours_since_seen,
    case coalesce(worst_doubts.rank, 3) when 1 then 'contradicted' when 2 then 'not proven' else 'proven' end
        as certainty,
    worst_doubts.why,
    coalesce(newest.file_id, milestones.last_file_id) as file_id,
    coalesce(newest.line, milestones.last_line) as line
from {{ ref("custody_cases") }} as cases
inner join {{ ref("int_case_milestones") }} as milestones
    on cases.case_number = milestones.case_number
left join newest_events
    on cases.case_number = newest_events.case_number
left join {{ ref("int_custody_events") }} as newest
    on newest_events.case_number = newest.case_number and newest_events.event_number = newest.event_number
left join here_since
    on cases.case_number = here_since.case_number
left join worst_doubts
    on cases.case_number = worst_doubts.case_number and worst_doubts.doubt_number = 1
where cases.is_in_care
