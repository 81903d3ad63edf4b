with counts as (
    -- Of whoever has been cremated, buried or entombed by the record another rule tells.
    select checks.*
    from {{ ref("int_count_checks") }} as checks
    left join {{ ref("int_case_milestones") }} as milestones
        on
            checks.case_number = milestones.case_number
            and checks.occurred_at > {{ add_hours("milestones.final_at", 1) }}
            and milestones.final_action in {{ irreversible_actions() }}
    where checks.check_state in ('elsewhere', 'other unit') and milestones.case_number is null
),

before as (
    select
        counts.case_number,
        counts.event_number,
        max(events.event_number) as event_number_before
    from counts
    inner join {{ ref("int_custody_events") }} as events
        on
            counts.case_number = events.case_number
            and counts.event_number > events.event_number
            and events.action <> 'counted'
    group by counts.case_number, counts.event_number
)

select
    {{ finding(
        "counted_elsewhere",
        case_number="counts.case_number",
        location_id="counts.location_id",
        occurred_at="counts.occurred_at",
        a="counts", feed_a="custody_events",
        b="events", feed_b="custody_events",
        detail="'Counted at ' || counts.location_id || coalesce(' ' || counts.counted_unit, '') || ' at '"
            ~ " || " ~ minute_text("counts.occurred_at_local") ~ " || ' (event ' || counts.event_id"
            ~ " || coalesce(', sheet ' || counts.document_number, '') || '); the record says '"
            ~ " || coalesce(counts.recorded_place_id || coalesce(' ' || counts.recorded_unit, ''), 'no place')"
            ~ " || '.' || " ~ held_back_note("counts.is_held")
    ) }}
from counts
left join before
    on counts.case_number = before.case_number and counts.event_number = before.event_number
left join {{ ref("int_custody_events") }} as events
    on before.case_number = events.case_number and before.event_number_before = events.event_number
