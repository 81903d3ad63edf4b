-- The law of the place of cremation; an outside crematory's law is not known to us, so that of the
-- arranging home stands for it. An unknown time of death counts from the start of its day: only a
-- wait that is short in every case is found.
with cremations as (
    select
        events.case_number,
        events.event_id,
        events.action,
        events.occurred_at,
        events.occurred_at_local,
        events.is_held or cases.is_held as is_held,
        events.file_id,
        events.line,
        cases.location_id,
        cases.file_id as case_file_id,
        cases.line as case_line,
        limits.hours as limit_hours,
        limits.starts_at,
        limits.citation,
        {{ limit_starts("limits", "cases", "milestones", "death_earliest_at") }} as wait_from_at,
        row_number() over (partition by events.case_number order by events.event_number) as cremation_number
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("int_cases") }} as cases
        on events.case_number = cases.case_number
    inner join {{ ref("int_case_milestones") }} as milestones
        on events.case_number = milestones.case_number
    left join {{ ref("stg_locations") }} as places
        on events.place_id = places.location_id
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on
            {{ limit_holds(
                "limits", "'cremation_wait'", "coalesce(places.jurisdiction, cases.jurisdiction)", "places"
            ) }}
    -- Without its start on record it is short for certain when even its end came too early.
    where events.action in ('cremation_started', 'cremation_finished')
)

select
    {{ finding(
        "waiting_period_short",
        case_number="cremations.case_number",
        location_id="cremations.location_id",
        occurred_at="cremations.occurred_at",
        a="cremations", feed_a="custody_events",
        b="cremations", feed_b="cases", file_id_b="case_file_id", line_b="case_line",
        measured_value=elapsed_hours("cremations.wait_from_at", "cremations.occurred_at"),
        limit_value="cremations.limit_hours",
        value_unit="hours",
        detail="case cremations.action when 'cremation_started' then 'Cremation began at '"
            ~ " else 'Cremation ended at ' end || " ~ minute_text("cremations.occurred_at_local") ~ " || ' (event '"
            ~ " || cremations.event_id || '), '"
            ~ " || " ~ measured_text(elapsed_hours("cremations.wait_from_at", "cremations.occurred_at"), "cremations.limit_hours")
            ~ " || ' hours after ' || cremations.starts_at || '; the limit is ' || "
            ~ quantity_text("cremations.limit_hours") ~ " || ' hours (' || cremations.citation"
            ~ " || '; check with counsel or the licensing board).' || " ~ held_back_note("cremations.is_held")
    ) }}
from cremations
where
    cremations.cremation_number = 1
    and cremations.occurred_at < {{ add_hours("cremations.wait_from_at", "cremations.limit_hours") }}
