-- A stay in a unit is an unbroken row of legs there: a change of party alone does not end it.
with legs as (
    select
        case_number,
        leg_number,
        place_id,
        storage_unit,
        started_action,
        started_at,
        started_at_local,
        ended_at,
        started_event_id,
        not is_proven as is_held,
        started_file_id,
        started_line,
        leg_number - row_number() over (
            partition by case_number, place_id, storage_unit order by leg_number
        ) as legs_elsewhere
    from {{ ref("custody_legs") }}
    where storage_unit is not null and place_id is not null
),

first_and_last_legs as (
    select
        case_number,
        min(leg_number) as first_leg_number,
        max(leg_number) as last_leg_number
    from legs
    group by case_number, place_id, storage_unit, legs_elsewhere
),

unit_stays as (
    select
        firsts.case_number,
        firsts.started_event_id as event_id,
        firsts.place_id,
        firsts.storage_unit,
        firsts.started_at,
        firsts.started_at_local,
        lasts.ended_at,
        firsts.is_held,
        firsts.started_file_id as file_id,
        firsts.started_line as line
    from first_and_last_legs as stays
    inner join legs as firsts
        on stays.case_number = firsts.case_number and stays.first_leg_number = firsts.leg_number
    inner join legs as lasts
        on stays.case_number = lasts.case_number and stays.last_leg_number = lasts.leg_number
    where firsts.started_action <> 'cremation_started'
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
            ~ held_back_note("pairs.is_held")
    ) }}
from pairs
