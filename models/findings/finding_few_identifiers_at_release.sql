-- Three identifiers, at least one unique: HTA standard T1(c) (England, Wales, Northern Ireland),
-- taken here as good practice everywhere. A blank count is no proof of a check.
select
    {{ finding(
        "few_identifiers_at_release",
        case_number="events.case_number",
        location_id="cases.location_id",
        occurred_at="events.occurred_at",
        a="events", feed_a="custody_events",
        measured_value="records.identifiers_matched",
        limit_value="3",
        value_unit="identifiers",
        detail="'Released at ' || " ~ minute_text("events.occurred_at_local") ~ " || ' to '"
            ~ " || coalesce(events.party_id, 'nobody named') || ' with '"
            ~ " || coalesce(cast(records.identifiers_matched as varchar), 'no count of')"
            ~ " || ' identifiers matched (event ' || events.event_id || '); three are needed.' || "
            ~ held_back_note("events.is_held")
    ) }}
from {{ ref("int_custody_events") }} as events
inner join {{ ref("stg_custody_events") }} as records
    on events.file_id = records.file_id and events.line = records.line
left join {{ ref("int_cases") }} as cases
    on events.case_number = cases.case_number
where
    events.action = 'released'
    and records.action = 'released'
    and coalesce(records.identifiers_matched, 0) < 3
