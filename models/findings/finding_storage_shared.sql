{% set turns_of_case = "partition by case_number order by event_number" %}

with turns as (
    select
        case_number,
        event_id,
        event_number,
        action,
        place_id,
        storage_unit,
        lag(place_id) over ({{ turns_of_case }}) as place_before,
        lag(storage_unit) over ({{ turns_of_case }}) as unit_before,
        occurred_at,
        occurred_at_local,
        is_held,
        file_id,
        line
    from {{ ref("int_custody_events") }}
    where is_turning_point
),

changes as (
    -- A change of party alone does not end a stay in a unit.
    select
        *,
        lead(occurred_at) over ({{ turns_of_case }}) as ended_at
    from turns
    where place_id is distinct from place_before or storage_unit is distinct from unit_before
),

unit_stays as (
    select
        case_number,
        event_id,
        place_id,
        storage_unit,
        occurred_at as started_at,
        occurred_at_local as started_at_local,
        ended_at,
        is_held,
        file_id,
        line
    from changes
    where action <> 'cremation_started' and storage_unit is not null and place_id is not null
),

pairs as (
    {{ overlapping_stays("unit_stays") }}
)

select
    {{ finding(
        "storage_shared",
        case_number="pairs.case_number",
        location_id="pairs.place_id",
        occurred_at="pairs.started_at",
        a="pairs", feed_a="custody_events",
        b="pairs", feed_b="custody_events", file_id_b="other_file_id", line_b="other_line",
        measured_value=elapsed_hours("pairs.started_at", "pairs.both_until_at"),
        limit_value="0",
        value_unit="hours",
        detail="'Stored in ' || pairs.storage_unit || ' at ' || pairs.place_id || ' from ' || "
            ~ minute_text("pairs.started_at_local") ~ " || ' (event ' || pairs.event_id || ') while case '"
            ~ " || pairs.other_case_number || ' was in it (event ' || pairs.other_event_id || ').' || "
            ~ not_proven_note("pairs.is_held")
    ) }}
from pairs
