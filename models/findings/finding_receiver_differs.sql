-- A carrier is on the way to the receiver, and so is another firm, or the family, where a cemetery or crematory is
-- named; a medical examiner may call for anybody. An act is held against the name where the record says at which
-- crematory or cemetery it was; a code is the same in capitals and in small letters. A cancelled case goes to the firm
-- that is named for it; what was named for the last step before holds no more.
{% set told = ["case_number", "event_number", "event_id", "action", "occurred_at", "occurred_at_local"] %}

with acts as (
    select
        events.{{ told | join(", events.") }},
        records.to_party as receiver,
        events.is_held,
        events.file_id,
        events.line,
        1 as place_in_act
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    where events.action = 'released' and records.action = 'released' and not events.is_after_end

    union all

    select
        {{ told | join(", ") }},
        place_id as receiver,
        is_held,
        file_id,
        line,
        row_number() over (
            partition by case_number, {{ act_of("action") }} order by event_number
        ) as place_in_act
    from {{ ref("int_custody_events") }}
    where action in {{ irreversible_actions() }} and not is_after_end
)

select
    {{ finding(
        "receiver_differs",
        case_number="acts.case_number",
        location_id="cases.location_id",
        occurred_at="acts.occurred_at",
        a="acts", feed_a="custody_events",
        b="cases", feed_b="cases",
        detail="case acts.action when 'released' then 'Released to ' when 'buried' then 'Buried at '"
            ~ " when 'entombed' then 'Entombed at ' else 'Cremated at ' end || acts.receiver || ' at ' || "
            ~ minute_text("acts.occurred_at_local") ~ " || ' (event ' || acts.event_id || '); named is '"
            ~ " || cases.named_receiver || '.' || " ~ held_back_note("acts.is_held or cases.is_held")
    ) }}
from acts
inner join {{ ref("int_cases") }} as cases
    on acts.case_number = cases.case_number
where
    lower(acts.receiver) <> lower(cases.named_receiver)
    and case acts.action
        when 'released'
            then
                split_part(acts.receiver, ':', 1) not in ('carrier', 'medical_examiner')
                and (
                    split_part(acts.receiver, ':', 1) not in ('funeral_home', 'family')
                    or split_part(cases.named_receiver, ':', 1) in ('family', 'funeral_home', 'institution')
                )
        when 'buried' then acts.receiver like 'cemetery:%'
        when 'entombed' then acts.receiver like 'cemetery:%'
        else acts.receiver not like 'vehicle:%' and acts.place_in_act = 1
    end
    and (cases.case_status <> 'cancelled' or cases.named_receiver like 'funeral_home:%')
