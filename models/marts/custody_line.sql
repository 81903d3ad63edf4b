-- Every event that counts, in order of time, with both sides of each handover, as a case sheet prints it.
select
    events.case_number,
    events.event_number,
    events.event_id,
    events.action,
    events.occurred_at,
    events.occurred_at_local,
    {{ elapsed_minutes("lag(events.occurred_at) over (partition by events.case_number order by events.event_number)",
        "events.occurred_at") }} as minutes_since,
    records.from_party,
    records.to_party,
    events.party_id,
    events.place_id,
    events.storage_unit,
    records.released_by,
    records.received_by,
    records.performed_by,
    records.second_checker,
    records.band_number,
    cast(records.identifiers_matched as bigint) as identifiers_matched,
    records.document_number,
    records.disc_number,
    cast(records.item_count as bigint) as item_count,
    records.corrects_event_id,
    coalesce(events.break_kind, case when bands.is_break then 'band' end) as break_kind,
    not events.is_held as is_proven,
    events.file_id,
    events.line
from {{ ref("int_custody_events") }} as events
inner join {{ ref("stg_custody_events") }} as records
    on
        events.file_id = records.file_id
        and events.line = records.line
        -- Known already; it lets the engine look at the records of one case alone.
        and events.case_number = records.case_number
left join {{ ref("int_bands") }} as bands
    on events.case_number = bands.case_number and events.event_number = bands.event_number
