-- Who took them is compared as it is signed, and the firm or cemetery as it is coded. A carrier and a place of ours are
-- on the way; so is another firm where people alone are named, and a cemetery where the family asked for interment.
-- Who signed stands on the sheet of the case, not here: it is a name of the family.
select
    {{ finding(
        "remains_receiver_differs",
        case_number="events.case_number",
        location_id="cases.location_id",
        occurred_at="events.occurred_at",
        a="events", feed_a="custody_events",
        b="cases", feed_b="cases",
        detail="'Cremated remains were handed out at ' || " ~ minute_text("events.occurred_at_local")
            ~ " || ' (event ' || events.event_id || ')' || coalesce(' to ' || records.to_party, '')"
            ~ " || ', and who signed for them is not among those whom the authorisation names.' || "
            ~ held_back_note("events.is_held or cases.is_held")
    ) }}
from {{ ref("int_custody_events") }} as events
inner join {{ ref("stg_custody_events") }} as records
    on events.file_id = records.file_id and events.line = records.line
inner join {{ ref("int_cases") }} as cases
    on events.case_number = cases.case_number
left join {{ ref("stg_locations") }} as own_places
    on records.to_party = own_places.location_id
where
    events.action = 'remains_released'
    and records.action = 'remains_released'
    and own_places.location_id is null
    and coalesce(records.received_by, records.to_party) is not null
    and not coalesce({{ is_among_names("records.received_by", "cases.remains_receivers") }}, false)
    and not coalesce({{ is_among_names("records.to_party", "cases.remains_receivers") }}, false)
    and cases.remains_receivers is not null
    and case split_part(coalesce(records.to_party, ''), ':', 1)
        when 'carrier' then false
        when 'funeral_home' then cases.remains_receivers like '%funeral_home:%'
        when 'cemetery'
            then
                cases.remains_receivers like '%cemetery:%'
                or coalesce(cases.disposition_instruction <> 'cremate_inter', true)
        else true
    end
