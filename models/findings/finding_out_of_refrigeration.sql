-- The law names the hours before the first refrigeration. That as many are the most for every later time out of it is
-- the group's own reading; the law of the place where the person was taken out.
with spells as (
    select
        out_of_refrigeration.case_number,
        out_of_refrigeration.event_id,
        out_of_refrigeration.action,
        out_of_refrigeration.uncooled_unit,
        out_of_refrigeration.started_at,
        out_of_refrigeration.ended_at,
        coalesce(out_of_refrigeration.ended_at, {{ as_of() }}) as until_at,
        coalesce(places.location_id, cases.location_id) as location_id,
        coalesce(places.time_zone, cases.time_zone) as time_zone,
        limits.hours,
        limits.counts,
        limits.citation,
        coalesce(out_of_refrigeration.is_held or cases.is_held, false) as is_held,
        out_of_refrigeration.file_id,
        out_of_refrigeration.line
    from {{ ref("int_out_of_refrigeration") }} as out_of_refrigeration
    left join {{ ref("int_cases") }} as cases
        on out_of_refrigeration.case_number = cases.case_number
    left join {{ ref("stg_locations") }} as places
        on out_of_refrigeration.place_id = places.location_id
    inner join {{ ref("stg_jurisdiction_limits") }} as limits
        on
            {{ limit_holds("limits", "'preservation'", "coalesce(places.jurisdiction, cases.jurisdiction)", "places") }}
            -- A law that asks for no cold before a cremation soon enough names no hours out of it.
            and limits.cremated_within_hours is null
)

select
    {{ finding(
        "out_of_refrigeration",
        case_number="spells.case_number",
        location_id="spells.location_id",
        occurred_at="spells.started_at",
        a="spells", feed_a="custody_events",
        measured_value=elapsed_hours("spells.started_at", "spells.until_at"),
        limit_value="spells.hours",
        value_unit="hours",
        detail="'Not embalmed, and out of refrigeration since ' || "
            ~ minute_text(local_time("spells.started_at", "spells.time_zone"))
            ~ " || ' (' || replace(spells.action, '_', ' ')
            || coalesce(' in ' || spells.uncooled_unit || ', which is not refrigerated', '') || ', event '
            || spells.event_id || '), '"
            ~ " || case when spells.ended_at is null then 'until now ' else '' end || "
            ~ measured_text(elapsed_hours("spells.started_at", "spells.until_at"), "spells.hours")
            ~ " || ' hours; the limit is ' || " ~ quantity_text("spells.hours")
            ~ " || ' hours (' || spells.citation || '; check with counsel or the licensing board).' || "
            ~ held_back_note("spells.is_held")
    ) }}
from spells
where spells.until_at > {{ limit_ends("spells", "spells.started_at", "spells.time_zone") }}
