{% set turns_of_case = "partition by case_number order by event_number" %}

with turns as (
    select
        case_number,
        event_number,
        occurred_at,
        action,
        place_id,
        lag(place_id) over ({{ turns_of_case }}) as place_before,
        is_held,
        file_id,
        line
    from {{ ref("int_custody_events") }}
    where is_turning_point
),

stays as (
    select
        case_number,
        event_number,
        place_id,
        occurred_at as in_at,
        lead(occurred_at) over ({{ turns_of_case }}) as out_at,
        action,
        is_held,
        file_id,
        line
    from turns
    where place_id is distinct from place_before or action in {{ final_actions() }}
)

select
    stays.case_number,
    stays.place_id as location_id,
    locations.time_zone,
    locations.capacity,
    stays.in_at,
    stays.out_at,
    {{ iso_week_monday(local_date("stays.in_at", "locations.time_zone")) }} as in_week,
    {{ iso_week_monday(local_date("stays.out_at", "locations.time_zone")) }} as out_week,
    stays.is_held,
    stays.file_id,
    stays.line
from stays
inner join {{ ref("stg_locations") }} as locations
    on stays.place_id = locations.location_id
where stays.action not in {{ final_actions() }}
