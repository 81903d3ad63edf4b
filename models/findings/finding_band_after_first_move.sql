with firsts as (
    select
        case_number,
        min(case when action = 'band_attached' then event_number end) as band_number_of_event,
        min(case when action in {{ moving_actions() }} then event_number end) as move_number_of_event
    from {{ ref("int_custody_events") }}
    group by case_number
)

select
    {{ finding(
        "band_after_first_move",
        case_number="bands.case_number",
        location_id="cases.location_id",
        occurred_at="bands.occurred_at",
        a="bands", feed_a="custody_events",
        b="moves", feed_b="custody_events",
        measured_value=elapsed_minutes("moves.occurred_at", "bands.occurred_at"),
        limit_value="0",
        value_unit="minutes",
        detail="'The band was put on at ' || " ~ minute_text("bands.occurred_at_local")
            ~ " || ' (event ' || bands.event_id || '), after the first move at ' || "
            ~ minute_text("moves.occurred_at_local") ~ " || ' (' || replace(moves.action, '_', ' ') || ', event '"
            ~ " || moves.event_id || ').' || " ~ not_proven_note("bands.is_held")
    ) }}
from firsts
inner join {{ ref("int_custody_events") }} as bands
    on firsts.case_number = bands.case_number and firsts.band_number_of_event = bands.event_number
inner join {{ ref("int_custody_events") }} as moves
    on firsts.case_number = moves.case_number and firsts.move_number_of_event = moves.event_number
left join {{ ref("int_cases") }} as cases
    on firsts.case_number = cases.case_number
where
    firsts.band_number_of_event > firsts.move_number_of_event
    and bands.occurred_at > moves.occurred_at
