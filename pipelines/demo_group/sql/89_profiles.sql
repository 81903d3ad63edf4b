-- What a plant may ask of the case that it is put on. One row per case; instants in minutes.
create or replace temp table profiles as
with billed as (
    select
        case_number,
        bool_or(item_code like 'CSK-%') as has_casket,
        bool_or(item_code like 'URN-%') as has_urn,
        bool_or(item_code like 'OBC-%') as has_outer,
        bool_or(item_code = 'S13-HEARSE') as has_hearse,
        bool_or(item_code = 'S14-LIMOUSINE') as has_limousine,
        bool_or(item_code = 'ADV-OBIT') as has_notice,
        bool_or(item_code = 'S07-EMBALM') as has_embalming_charge,
        bool_or(item_code = 'S04-DIRCREM-ALT') as has_direct_cremation,
        bool_or(item_code = 'DISCOUNT') as has_discount,
        any_value(item_code) filter (item_code like 'CSK-%') as casket,
        any_value(item_code) filter (item_code like 'URN-%') as urn
    from charges
    group by case_number
),

counted as (
    select case_number, min(event_id) as counted_event, count(*) as count_number
    from custody_events
    where action = 'counted'
    group by case_number
)

select
    settled.*,
    getvariable('cut_off') as cut_off_minute,
    not (settled.is_unidentified or settled.t4 % 100 = 0) as time_known,
    walks.taken,
    walks.left_shelf,
    walks.shelf,
    walks.shelved as on_shelf,
    walks.keeper,
    walks.has_effects,
    walks.has_hold,
    settled.closed <= settled.cut_off and settled.ending not in ('cancelled', 'waiting')
        and settled.invoiced < settled.cut_off - 14400 as is_done,
    settled.t1 % 20 = 0 as has_two_invoices,
    settled.t2 % 6 = 0 and coalesce(billed.has_limousine, false) as has_credit,
    coalesce(billed.has_casket, false) as has_casket,
    coalesce(billed.has_urn, false) as has_urn,
    coalesce(billed.has_outer, false) as has_outer,
    coalesce(billed.has_hearse, false) as has_hearse,
    coalesce(billed.has_limousine, false) as has_limousine,
    coalesce(billed.has_notice, false) as has_notice,
    coalesce(billed.has_embalming_charge, false) as has_embalming_charge,
    coalesce(billed.has_direct_cremation, false) as has_direct_cremation,
    coalesce(billed.has_discount, false) as has_discount,
    billed.casket,
    billed.urn,
    -- Papers with their time, so that a plant can move the minute.
    settled.t1 % 10 <> 0 and settled.t3 % 25 <> 0 as has_timed_papers,
    counted.counted_event,
    coalesce(counted.count_number, 0) as count_number,
    null::varchar as taken_by
from settled
left join walks using (case_number)
left join billed using (case_number)
left join counted using (case_number)
where settled.tile = 0;

-- An instant text moved by minutes, its offset kept.
create or replace macro moved(instant, minutes) as
    strftime(strptime(left(instant, 16), '%Y-%m-%dT%H:%M') + to_minutes(minutes), '%Y-%m-%dT%H:%M') || right(instant,
        6);
create or replace macro event_at(wanted_event) as (select occurred_at from custody_events
    where event_id = wanted_event);
