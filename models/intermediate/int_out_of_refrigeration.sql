-- After the first refrigeration: being put into storage is cold (but in a unit that the place says is not), being taken
-- out, moved or received again is not, and what ends the need for cold ends the time out of it; so does the care of an
-- institution, whose cooler is not in our records. Of somebody embalmed nothing is told.
{% set keepers = "('crematory', 'funeral_home', 'hospital', 'institution', 'medical_examiner')" %}
{% set turns_of_case = "partition by case_number order by event_number" %}

with moves as (
    select
        events.case_number,
        events.event_number,
        events.event_id,
        events.action,
        events.place_id,
        events.storage_unit,
        events.occurred_at,
        events.is_held,
        events.file_id,
        events.line,
        case
            when events.action = 'stored' and {{ is_among_beginnings("events.storage_unit", "places.uncooled_units") }}
                then 'out'
            when events.action in ('refrigerated', 'stored') then 'cold'
            when events.action in ('taken_out', 'departed', 'arrived', 'received') then 'out'
            else 'over'
        end as state
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("int_case_milestones") }} as milestones
        on events.case_number = milestones.case_number
    left join {{ ref("stg_locations") }} as places
        on events.place_id = places.location_id
    where
        events.occurred_at >= milestones.refrigerated_at
        and events.occurred_at <= coalesce(milestones.embalming_finished_at, {{ as_of() }})
        and not events.is_after_end
        and (
            (events.action = 'transferred' and split_part(events.party_id, ':', 1) in {{ keepers }})
            or events.action in ('refrigerated', 'stored', 'taken_out', 'departed', 'arrived', 'received')
            or events.action in ('embalming_finished', 'cremation_started')
            or events.action in {{ final_actions() }}
        )
),

turns as (
    select
        *,
        lag(state) over ({{ turns_of_case }}) as state_before,
        lag(place_id) over ({{ turns_of_case }}) as place_before
    from moves
),

spells as (
    select
        *,
        lead(occurred_at) over ({{ turns_of_case }}) as ended_at
    from turns
    where state is distinct from state_before
)

select
    case_number,
    event_number,
    event_id,
    action,
    -- Where the cold was: a departure has the vehicle as its place.
    case when state_before = 'cold' then coalesce(place_before, place_id) else place_id end as place_id,
    case when action = 'stored' then storage_unit end as uncooled_unit,
    occurred_at as started_at,
    ended_at,
    is_held,
    file_id,
    line
from spells
where state = 'out' and state_before is not null
