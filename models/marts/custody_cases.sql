with too_late as (
    {{ dated_after_export("cases", "first_call_at") }}
),

called_later as (
    select distinct cases.case_number
    from {{ ref("stg_cases") }} as cases
    left join too_late
        on cases.file_id = too_late.file_id and cases.line = too_late.line
    where cases.first_call_at > {{ as_of() }} and too_late.line is null
),

broken as (
    -- A break is the chain's own fault. What only waits for a record that is held for another reason breaks nothing.
    select distinct rejects.case_number
    from {{ source("quality", "rejects") }} as rejects
    inner join {{ source("quality", "rules") }} as rules
        on rejects.rule_code = rules.rule_code
    where rules.family = 'chains' and rejects.rule_code <> 'chain_held'
)

select
    coalesce(cases.case_number, milestones.case_number) as case_number,
    cases.location_id,
    cases.family_name,
    cases.given_name,
    coalesce(cases.is_unidentified, false) as is_unidentified,
    cases.remains_receivers,
    case
        when milestones.case_number is null then 'no events'
        when milestones.has_held_event or coalesce(cases.is_held, true) then 'not proven'
        else 'proven'
    end as custody_status,
    case
        when milestones.has_held_event and broken.case_number is not null then 'broken chain'
        when milestones.has_held_event then 'record of custody'
        when milestones.case_number is not null and coalesce(cases.is_held, true) then 'record of the case'
    end as held_kind,
    milestones.final_at is null
    and (
        milestones.in_care_since is not null
        -- Somebody whose only records have no instant that can be true is not hidden for it.
        or coalesce(
            milestones.has_untimed_care
            and coalesce(cases.case_status <> 'closed', true)
            and called_later.case_number is null,
            false
        )
    ) as is_in_care,
    -- A band put on at the place of death says nothing of where somebody is whose receipt has no true instant.
    case when milestones.in_care_since is not null or not milestones.has_untimed_care then milestones.party_id end
        as party_id,
    case when milestones.in_care_since is not null or not milestones.has_untimed_care then milestones.place_id end
        as place_id,
    case when milestones.in_care_since is not null or not milestones.has_untimed_care then milestones.storage_unit end
        as storage_unit,
    milestones.last_action,
    milestones.last_at,
    {{ elapsed_hours("milestones.last_at", as_of()) }} as hours_since_last,
    milestones.received_at,
    milestones.final_action,
    milestones.final_at,
    cases.first_call_at,
    case
        when not cases.is_trade_call and coalesce(cases.case_status, 'open') <> 'cancelled'
            then {{ iso_week_monday(local_date("cases.first_call_at", "cases.time_zone")) }}
    end as called_week,
    coalesce(cases.file_id, milestones.last_file_id) as file_id,
    coalesce(cases.line, milestones.last_line) as line
from {{ ref("int_cases") }} as cases
full outer join {{ ref("int_case_milestones") }} as milestones
    on cases.case_number = milestones.case_number
left join called_later
    on milestones.case_number = called_later.case_number
left join broken
    on milestones.case_number = broken.case_number
