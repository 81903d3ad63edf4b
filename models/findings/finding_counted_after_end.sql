-- A count of remains names their disc. After a release the record has the person elsewhere, which another rule tells.
-- Whoever left within the hour of it left while the count went round.
select
    {{ finding(
        "counted_after_end",
        case_number="counts.case_number",
        location_id="coalesce(records.place_id, cases.location_id)",
        occurred_at="counts.occurred_at",
        a="counts", feed_a="custody_events",
        b="ends", feed_b="custody_events",
        detail="'Counted at ' || coalesce(records.place_id, 'no place') || coalesce(' ' || records.storage_unit, '') || ' at '"
            ~ " || " ~ minute_text("counts.occurred_at_local") ~ " || ' (event ' || counts.event_id || '); the record has '"
            ~ " || replace(ends.action, '_', ' ') || ' at ' || " ~ minute_text("ends.occurred_at_local")
            ~ " || ' (event ' || ends.event_id || ').' || " ~ held_back_note("counts.is_held or ends.is_held")
    ) }}
from {{ ref("int_custody_events") }} as counts
inner join {{ ref("stg_custody_events") }} as records
    on counts.file_id = records.file_id and counts.line = records.line
inner join {{ ref("int_case_milestones") }} as milestones
    on counts.case_number = milestones.case_number
inner join {{ ref("int_custody_events") }} as ends
    on
        milestones.case_number = ends.case_number
        and milestones.last_file_id = ends.file_id
        and milestones.last_line = ends.line
left join {{ ref("int_cases") }} as cases
    on counts.case_number = cases.case_number
where
    counts.action = 'counted'
    and counts.is_after_end
    and counts.occurred_at > {{ add_hours("ends.occurred_at", 1) }}
    and ends.action in {{ irreversible_actions() }}
    and records.disc_number is null
