-- The custody line. Every select: case, step (order within the case), minute, action, from, to, place, unit, disc,
-- items, document, and what is seen:
-- m = the person moves (band read, identifiers matched), c = band read and checked by two, s = both sides sign.
create or replace temp table custody_steps as
select case_number, 10 as step, received - 5 - t1 % 11 as minute, 'band_attached' as action, null as from_party,
    null as to_party, origin as place_id,
    null as unit, null as disc, null::integer as items, null as document, 'c' as seen from walks
union all
select case_number, 15, received - 3, 'effects_listed', null, null, null, null, null, effects_count, null, ''
    from walks where has_effects
union all
select case_number, 20, received, 'received', origin, home, origin, null, null, null, 'RCV-' || case_number, 'ms'
    from walks
union all
select case_number, 25, left_origin, 'departed', null, null, first_car, null, null, null, null, 'm' from walks
union all
select case_number, 30, laid, 'arrived', null, null, lay_place, null, null, null, null, 'm' from walks
union all
select case_number, 35, laid + 3, 'transferred', home, keeper, null, null, null, null, 'TRF-' || case_number || '-1',
    'ms' from walks where keeper <> home
union all
select case_number, 40, checked, 'identity_checked', null, null, null, null, null, null, null, 'cx' from walks
union all
select case_number, 45, shelved, 'stored', null, null, null, shelf, null, null, null, 'm' from walks
union all
select case_number, 50, refrigerated, 'refrigerated', null, null, null, shelf, null, null, null, 't' from walks
union all
select case_number, 55, refrigerated + 5, 'hold_placed', null, null, null, null, null, null, 'HLD-' || case_number, ''
    from walks where has_hold
union all
select case_number, 60, ready - 30, 'hold_lifted', null, null, null, null, null, null, 'HLD-' || case_number, ''
    from walks where has_hold
union all
select case_number, 65, embalming_started - 8, 'taken_out', null, null, null, shelf, null, null, null, 'm' from walks
    where is_embalmed
union all
select case_number, 70, embalming_started, 'embalming_started', null, null, null, null, null, null, null, 'c'
    from walks where is_embalmed
union all
select case_number, 75, embalming_finished, 'embalming_finished', null, null, null, null, null, null, null, ''
    from walks where is_embalmed
union all
select case_number, 80, embalming_finished + 12, 'stored', null, null, null, shelf, null, null, null, 'm' from walks
    where is_embalmed
union all
-- Nobody waits more than a week without being looked at.
select case_number, 100 + week_number, refrigerated + week_number * 9500, 'reviewed', null, null, null, null, null,
    null, null, 'c'
from (
    select *, unnest(range(1, 30)) as week_number
    from walks
    where coalesce(left_shelf, cut_off) - refrigerated > 9500
)
where refrigerated + week_number * 9500 < coalesce(taken, cut_off) - 30
union all
select case_number, 200, taken, 'taken_out', null, null, null, shelf, null, null, null, 'm' from walks
    where ending <> 'waiting'
union all
select case_number, 205, left_care, 'departed', null, null, last_car, null, null, null, null, 'm' from walks
    where has_home_service and lay_place <> home
union all
select case_number, 210, home_arrived, 'arrived', null, null, home, null, null, null, null, 'm' from walks
    where has_home_service and lay_place <> home
union all
select case_number, 215, home_arrived + 4, 'transferred', keeper, home, null, null, null, null, 'TRF-' || case_number
    || '-2', 'ms'
from walks where has_home_service and keeper <> home
union all
select case_number, 220, viewed, 'viewed', null, null, null, null, null, null, null, 'c' from walks
    where has_home_service
union all
select case_number, 225, last_departed, 'departed', null, null, last_car, null, null, null, null, 'm' from walks
where ending in ('cremation', 'burial', 'entombment')
union all
select case_number, 230, cemetery_arrived, 'arrived', null, null, grave, null, null, null, null, 'm' from walks
    where ending in ('burial', 'entombment')
union all
select case_number, 235, act, case ending when 'burial' then 'buried' else 'entombed' end, null, null, null, null,
    null, null, 'GRV-' || case_number, 'ms'
from walks where ending in ('burial', 'entombment')
union all
select case_number, 235, act, 'released', keeper, outside, outside, null, null, null, 'REL-' || case_number, 'ms'
    from walks
where ending in ('trade', 'shipped', 'donation', 'cancelled')
union all
select case_number, 240, crematory_arrived, 'arrived', null, null, 'CREM', null, null, null, null, 'm' from walks
    where ending = 'cremation'
union all
select case_number, 245, crematory_arrived + 3, 'transferred', last_keeper, 'CREM', null, null, null, null, 'TRF-'
    || case_number || '-3', 'ms'
from walks where ending = 'cremation'
union all
select case_number, 250, act - 20, 'identity_checked', null, null, null, null, disc_number, null, null, 'cx'
    from walks where ending = 'cremation'
union all
select case_number, 255, act, 'cremation_started', null, null, null, chamber, disc_number, null, 'CRM-' || case_number,
    'm' from walks where ending = 'cremation'
union all
select case_number, 260, cremated, 'cremation_finished', null, null, null, chamber, disc_number, null, null, ''
    from walks where ending = 'cremation'
union all
select case_number, 265, packed, 'remains_packed', null, null, null, 'CREM-R' || (1 + t3 % 6)::varchar, disc_number,
    container_count, null, ''
    from walks where ending = 'cremation'
union all
select case_number, 270, remains_gone, 'remains_released', null, null, null, null, disc_number, 1
    + (t2 % 2)::integer * (container_count - 1), 'RMN-' || case_number, 's'
from walks where ending = 'cremation' and not is_scattered_here
union all
select case_number, 272, remains_gone + 2880, 'remains_released', null, null, null, null, disc_number, 1, 'RMN-'
    || case_number || '-2', 's'
from walks where ending = 'cremation' and not is_scattered_here and container_count = 2 and t2 % 2 = 0
union all
select case_number, 270, remains_gone, 'remains_scattered', null, null, null, null, disc_number, container_count,
    'RMN-' || case_number, 'c'
from walks where ending = 'cremation' and is_scattered_here
union all
select case_number, 280, act + 3000, 'effects_returned', null, null, null, null, null, effects_count, null, 's'
from walks where has_effects and act is not null;
