with firsts as (
    select
        case_number,
        min(case when action = 'band_attached' then event_number end) as band_number_of_event,
        min(case when action in {{ moving_actions() }} then event_number end) as move_number_of_event
    from {{ ref("int_custody_events") }}
    group by case_number
),

late as (
    select
        firsts.case_number,
        firsts.band_number_of_event,
        firsts.move_number_of_event,
        bands.file_id,
        bands.line
    from firsts
    inner join {{ ref("int_custody_events") }} as bands
        on firsts.case_number = bands.case_number and firsts.band_number_of_event = bands.event_number
    where firsts.band_number_of_event > firsts.move_number_of_event
),

replaced as (
    -- Put on in the place of another, which was read before or could not be read: there was a band.
    select distinct late.case_number
    from late
    inner join {{ ref("stg_custody_events") }} as attached
        on late.file_id = attached.file_id and late.line = attached.line
    inner join {{ ref("int_custody_events") }} as events
        on late.case_number = events.case_number and late.band_number_of_event > events.event_number
    inner join {{ ref("stg_custody_events") }} as reads
        on events.file_id = reads.file_id and events.line = reads.line
    where reads.band_number <> attached.band_number
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
            ~ " || moves.event_id || ').' || " ~ held_back_note("bands.is_held")
    ) }}
from late
inner join {{ ref("int_custody_events") }} as bands
    on late.case_number = bands.case_number and late.band_number_of_event = bands.event_number
inner join {{ ref("int_custody_events") }} as moves
    on late.case_number = moves.case_number and late.move_number_of_event = moves.event_number
left join replaced
    on late.case_number = replaced.case_number
left join {{ ref("int_cases") }} as cases
    on late.case_number = cases.case_number
where bands.occurred_at > moves.occurred_at and replaced.case_number is null
