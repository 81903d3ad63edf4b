-- The law of the place where the remains came to us, else of the arranging home.
with waiting as (
    select
        events.case_number,
        cases.location_id,
        events.event_id,
        events.action,
        events.occurred_at,
        events.occurred_at_local,
        events.is_held,
        events.file_id,
        events.line,
        limits.hours,
        limits.counts,
        coalesce(places.time_zone, cases.time_zone) as time_zone,
        limits.citation,
        row_number() over (partition by events.case_number order by events.event_number desc) as newest_number
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("int_case_milestones") }} as milestones
        on events.case_number = milestones.case_number
    left join {{ ref("int_cases") }} as cases
        on events.case_number = cases.case_number
    left join {{ ref("stg_locations") }} as places
        on events.place_id = places.location_id
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on
            {{ limit_holds(
                "limits", "'unclaimed_remains'", "coalesce(places.jurisdiction, cases.jurisdiction)", "places"
            ) }}
    where events.action in ('cremation_finished', 'remains_received') and milestones.remains_gone_at is null
)

select
    {{ finding(
        "remains_unclaimed",
        case_number="waiting.case_number",
        location_id="waiting.location_id",
        occurred_at="waiting.occurred_at",
        a="waiting", feed_a="custody_events",
        measured_value=elapsed_hours("waiting.occurred_at", as_of()) ~ " / 24.0",
        limit_value="waiting.hours / 24.0",
        value_unit="days",
        detail="'The remains wait since ' || " ~ minute_text("waiting.occurred_at_local")
            ~ " || ' (' || replace(waiting.action, '_', ' ') || ', event ' || waiting.event_id || '), '"
            ~ " || " ~ number_text(elapsed_hours("waiting.occurred_at", as_of()) ~ " / 24.0")
            ~ " || ' days; the limit is ' || " ~ number_text("waiting.hours / 24.0", 0)
            ~ " || ' days (' || waiting.citation || '; check with counsel or the licensing board).' || "
            ~ not_proven_note("waiting.is_held")
    ) }}
from waiting
where
    waiting.newest_number = 1
    and {{ as_of() }} > {{ limit_ends("waiting", "waiting.occurred_at", "waiting.time_zone") }}
