-- Blank is not "no": the question was not answered. U says that nobody knows. Before somebody is handed to a crematory
-- of others it is answered; an institution that gives remains back asked for itself.
with first_cremations as (
    select
        case_number,
        min(event_number) as event_number
    from {{ ref("int_custody_events") }}
    where
        action in ('cremation_started', 'cremation_finished')
        or (action = 'remains_received' and is_after_end and not coalesce(is_remains_alone, false))
        or (action = 'released' and not is_after_end and party_id like 'crematory:%')
    group by case_number
)

select
    {{ finding(
        "implant_unanswered",
        case_number="events.case_number",
        location_id="cases.location_id",
        occurred_at="events.occurred_at",
        a="events", feed_a="custody_events",
        b="cases", feed_b="cases",
        detail=act_sentence("events") ~ " || ' and the implant question is '"
            ~ " || case when cases.implant_present = 'U' then 'answered unknown.' else 'not answered.' end || "
            ~ held_back_note("events.is_held or cases.is_held")
    ) }}
from first_cremations
inner join {{ ref("int_custody_events") }} as events
    on first_cremations.case_number = events.case_number and first_cremations.event_number = events.event_number
inner join {{ ref("int_cases") }} as cases
    on events.case_number = cases.case_number
where
    coalesce(cases.implant_present, 'U') = 'U'
    and (events.action not in ('released', 'remains_received') or not cases.is_trade_call)
    and (events.action <> 'released' or cases.case_status <> 'cancelled')
    and not exists (
        select 1
        from {{ ref("int_custody_events") }} as releases
        where
            events.action = 'remains_received'
            and releases.case_number = events.case_number
            and releases.action = 'released'
            and split_part(releases.party_id, ':', 1) in ('funeral_home', 'institution')
    )
    and not coalesce(events.action = 'remains_received' and cases.disposition_code = 'D', false)

union all

{{ paper_finding(
    "implant_unanswered", "doubts.paper = 'implant removal' and doubts.paper_state in ('late', 'missing')"
) }}
