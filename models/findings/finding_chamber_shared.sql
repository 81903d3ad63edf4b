with turns as (
    select
        case_number,
        event_id,
        event_number,
        action,
        place_id,
        storage_unit,
        occurred_at as started_at,
        occurred_at_local as started_at_local,
        lead(occurred_at) over (partition by case_number order by event_number) as ended_at,
        is_held,
        file_id,
        line
    from {{ ref("int_custody_events") }}
    where action in ('cremation_started', 'cremation_finished')
),

chamber_stays as (
    select *
    from turns
    where action = 'cremation_started' and storage_unit is not null and place_id is not null
),

pairs as (
    {{ overlapping_stays("chamber_stays") }}
)

select
    {{ finding(
        "chamber_shared",
        case_number="pairs.case_number",
        location_id="pairs.place_id",
        occurred_at="pairs.started_at",
        a="pairs", feed_a="custody_events",
        b="pairs", feed_b="custody_events", file_id_b="other_file_id", line_b="other_line",
        measured_value=elapsed_minutes("pairs.started_at", "pairs.both_until_at"),
        limit_value="0",
        value_unit="minutes",
        detail="'Cremation began in chamber ' || pairs.storage_unit || ' at ' || "
            ~ minute_text("pairs.started_at_local") ~ " || ' (event ' || pairs.event_id"
            ~ " || ') before that of case ' || pairs.other_case_number || ' had ended (event '"
            ~ " || pairs.other_event_id || ').' || " ~ held_back_note("pairs.is_held")
    ) }}
from pairs
