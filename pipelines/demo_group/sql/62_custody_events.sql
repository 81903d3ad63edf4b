-- The feed: who did it, who read what, when it was recorded. Staff are codes of the place, outside people codes of
-- their desk.
create or replace temp table custody_events as
with signed as (
    select
        steps.*,
        walks.zone as home_zone,
        walks.lay_place,
        walks.t1,
        walks.e1 // (1 + steps.step) as e,
        walks.is_male,
        walks.band_number,
        case when getvariable('has_background') and walks.tile > 0 then walks.t2 // 7 % 300 else 0 end as fault,
        left(case when steps.step >= 235 and walks.ending = 'cremation' then 'CREM'
            when steps.step >= 205 then walks.home
            when steps.step >= 28 then walks.lay_place else walks.home end, 2) as staff
    from custody_steps as steps
    inner join walks using (case_number)
    where steps.minute <= walks.cut_off
)

select
    case_number || '-' || step::varchar as event_id,
    case_number,
    instant_text(minute, zone) as occurred_at,
    instant_text(minute + 1 + (e % 44)::bigint, zone) as recorded_at,
    action,
    -- In a large drop one case in a hundred is broken: a party, a place, or a band that nobody read.
    case when fault = 1 and step = 35 then 'CREM' else from_party end as from_party,
    to_party,
    case when fault = 2 and step = 40 then 'CREM' else place_id end as place_id,
    unit as storage_unit,
    case when (contains(seen, 'm') or contains(seen, 'c')) and not (fault = 3
        and step = 30) then band_number end as band_number,
    case when contains(seen, 'm') or contains(seen, 'c') then (3 + e // 7 % 5 // 3)::varchar end as identifiers_matched,
    case when contains(seen, 'x') then case when is_male then 'M' else 'F' end end as sex_observed,
    case when contains(seen, 's') then case when action = 'received' then 'desk-' || (1 + e // 3 % 9)::varchar
        else staff || '-S' || (1 + e // 3 % 5)::varchar end
    end as released_by,
    case
        when contains(seen, 's') then
            case
                when action = 'transferred' then left(to_party, 2) || '-S' || (1 + e // 11 % 5)::varchar
                when action = 'received' then staff || '-S' || (1 + e // 11 % 5)::varchar
                when action = 'remains_released' then 'family-' || (1 + t1 // 8 % 3)::varchar
                when action like 'remains%' or action like 'effects%' then 'family-' || (1 + e // 11 % 3)::varchar
                else 'desk-' || (1 + e // 11 % 9)::varchar
            end
    end as received_by,
    staff || '-S' || (1 + e // 13 % 5)::varchar as performed_by,
    case when contains(seen, 'c') then staff || '-S' || (6 + e // 17 % 4)::varchar end as second_checker,
    document as document_number,
    disc as disc_number,
    items::varchar as item_count,
    case when contains(seen, 't') then '3.' || (e // 19 % 10)::varchar end as temperature_c,
    null::varchar as corrects_event_id,
    case
        when e // 23 % 200 = 0 then
            ['Family asks for a call before anything else, "please".', 'Door code changed' || chr(10)
                || 'ask at the desk', 'Two bags, one coat; listed apart',
                'Seen by the chaplain, 20 min'][1 + (e // 29 % 4)::integer]
    end as remarks,
    minute as sort_minute,
    step as sort_step
from (
    select
        *,
        case when place_id = 'CEDAR' or (home_zone = 'America/Denver' and step < 240) then 'America/Denver'
            else 'America/Chicago' end as zone
    from signed
);
