-- The law of the place where the remains are, else of the arranging home.
with waiting as (
    select
        remains.*,
        cases.location_id,
        limits.hours,
        limits.hours / 24.0 as limit_days,
        limits.counts,
        {{ elapsed_hours("remains.occurred_at", as_of()) }} / 24.0 as days,
        coalesce(places.time_zone, cases.time_zone) as time_zone,
        limits.citation
    from {{ ref("int_remains") }} as remains
    left join {{ ref("int_cases") }} as cases
        on remains.case_number = cases.case_number
    left join {{ ref("stg_locations") }} as places
        on remains.place_id = places.location_id
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on
            {{ limit_holds(
                "limits", "'unclaimed_remains'", "coalesce(places.jurisdiction, cases.jurisdiction)", "places"
            ) }}
    where remains.is_in_keeping
)

select
    {{ finding(
        "remains_unclaimed",
        case_number="waiting.case_number",
        location_id="waiting.location_id",
        occurred_at="waiting.occurred_at",
        a="waiting", feed_a="custody_events",
        measured_value="waiting.days",
        limit_value="waiting.limit_days",
        value_unit="days",
        detail="'The remains wait since ' || " ~ minute_text("waiting.occurred_at_local")
            ~ " || ' (' || replace(waiting.action, '_', ' ') || ', event ' || waiting.event_id || '), '"
            ~ " || case waiting.counts when 'days' then "
            ~ number_text(calendar_days("waiting.occurred_at", as_of(), "waiting.time_zone"), 0)
            ~ " else " ~ measured_text("waiting.days", "waiting.limit_days")
            ~ " end || ' days; the limit is ' || " ~ quantity_text("waiting.limit_days")
            ~ " || ' days (' || waiting.citation || '; check with counsel or the licensing board).' || "
            ~ held_back_note("waiting.is_held")
    ) }}
from waiting
where {{ as_of() }} > {{ limit_ends("waiting", "waiting.occurred_at", "waiting.time_zone") }}
