-- Containers of cremated remains: those packed, or that came back from an outside crematory where nobody of us packed,
-- less those handed out or scattered. Handed out without a number, none is thought to be left; handed to a place of
-- ours, they only moved; received once more after they were handed out, they are back. Stored or taken out with their
-- disc they are where that says.
{% set steps_of_case = "partition by case_number order by event_number" %}

with told_steps as (
    select
        events.case_number,
        events.event_number,
        events.event_id,
        case
            when events.action = 'remains_released' and own_places.location_id is not null then 'moved'
            else events.action
        end as action,
        events.occurred_at,
        events.occurred_at_local,
        events.party_id,
        -- What came from another place is with whoever took it. What names no place leaves them where they were.
        case
            when events.action = 'remains_received' then coalesce(records.place_id, records.to_party)
            when events.action = 'cremation_finished' then events.place_id
            else coalesce(own_places.location_id, records.place_id)
        end as place_set,
        events.place_id as place_of_event,
        case when events.action <> 'taken_out' then records.storage_unit end as storage_unit,
        records.disc_number,
        records.item_count,
        events.is_held,
        events.file_id,
        events.line
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    left join {{ ref("stg_locations") }} as own_places
        on events.action = 'remains_released' and records.to_party = own_places.location_id
    where
        events.action = 'cremation_finished'
        or events.action in {{ remains_actions() }}
        or (events.action in ('stored', 'taken_out') and events.is_of_remains)
),

steps as (
    select
        case_number,
        event_number,
        event_id,
        action,
        occurred_at,
        occurred_at_local,
        party_id,
        coalesce({{ carried_forward("place_set", steps_of_case) }}, place_of_event) as place_id,
        storage_unit,
        disc_number,
        item_count,
        is_held,
        file_id,
        line
    from told_steps
),

packers as (
    select distinct case_number
    from steps
    where action = 'remains_packed'
),

counted as (
    select
        steps.*,
        packers.case_number is not null as is_packed_by_us,
        -- Of whom we let go to be cremated elsewhere nothing is here before it comes back.
        coalesce(milestones.final_action = 'released', false) as is_elsewhere,
        sum(case when steps.action in ('remains_released', 'remains_scattered') then 1 else 0 end) over (
            partition by steps.case_number order by steps.event_number
        ) as gone_before,
        sum(case when steps.action = 'remains_received' then 1 else 0 end) over (
            partition by steps.case_number order by steps.event_number
        ) as received_so_far
    from steps
    left join packers
        on steps.case_number = packers.case_number
    left join {{ ref("int_case_milestones") }} as milestones
        on steps.case_number = milestones.case_number
),

told as (
    select
        *,
        case
            when action = 'remains_packed' then 'packed'
            when action in ('remains_released', 'remains_scattered') then 'gone'
            when action = 'remains_received' and gone_before > 0 then 'back'
            when action = 'remains_received' and received_so_far = 1 and not is_packed_by_us then 'packed'
        end as step
    from counted
),

sums as (
    select
        case_number,
        -- Remains that were packed are here, also where no record tells of their cremation.
        coalesce(
            min(case when action = 'cremation_finished' and not is_elsewhere then event_number end),
            min(case when action = 'remains_received' then event_number end),
            min(case when step = 'packed' and not is_elsewhere then event_number end)
        ) as came_event_number,
        max(case when step is distinct from 'gone' then event_number end) as newest_event_number,
        max(case when disc_number is not null then event_number end) as disc_event_number,
        min(case when step = 'packed' then event_number end) as packed_event_number,
        max(case when step = 'gone' then event_number end) as gone_event_number,
        max(case when step = 'back' then event_number end) as back_event_number,
        sum({{ to_double("case when step = 'packed' then item_count end") }}) as packed_count,
        sum({{ to_double("case step when 'gone' then item_count when 'back' then -item_count end") }}) as gone_count,
        count(case when step = 'gone' and item_count is null then 1 end) > 0 as has_uncounted
    from told
    group by case_number
)

select
    sums.case_number,
    sums.packed_event_number,
    sums.gone_event_number,
    sums.back_event_number,
    sums.packed_count,
    sums.gone_count,
    sums.has_uncounted,
    case
        when came.event_number is null then false
        when sums.gone_event_number is null then true
        when sums.back_event_number > sums.gone_event_number then true
        when sums.has_uncounted then false
        else coalesce(sums.packed_count > sums.gone_count, false)
    end as is_in_keeping,
    came.event_id,
    came.action,
    came.occurred_at,
    came.occurred_at_local,
    newest.party_id,
    newest.place_id,
    newest.storage_unit,
    discs.disc_number,
    coalesce(came.is_held, newest.is_held) as is_held,
    coalesce(came.file_id, newest.file_id) as file_id,
    coalesce(came.line, newest.line) as line
from sums
left join steps as came
    on sums.case_number = came.case_number and sums.came_event_number = came.event_number
left join steps as newest
    on sums.case_number = newest.case_number and sums.newest_event_number = newest.event_number
left join steps as discs
    on sums.case_number = discs.case_number and sums.disc_event_number = discs.event_number
