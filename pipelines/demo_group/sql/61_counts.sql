-- The Sunday evening count: everyone who is at CARE, BIRCH, CEDAR or the crematory at 20:00 America/Chicago.
insert into custody_steps
with sundays as (
    select
        (epoch_ms((date '2026-05-24' + week_number * 7)::timestamp + interval 20 hour) // 60000)::bigint as wall,
        date '2026-05-24' + week_number * 7 as day,
        week_number
    from (select unnest(range(0, 26))::integer as week_number)
),

counts as (
    select
        day,
        week_number,
        wall + case when day >= date '2026-11-01' then 360 else 300 end as minute
    from sundays
),

stays as (
    select
        case_number, lay_place as place, laid + 10 as since,
        coalesce(case when lay_place <> home then left_care end, last_departed, act, cut_off + 1) - 10 as until,
        shelf, shelved,
        coalesce(taken, cut_off + 1) as taken, coalesce(embalming_started - 8, cut_off + 1) as out_from,
            coalesce(embalming_finished + 12, 0) as out_until
    from walks
    union all
    select case_number, home, home_arrived + 10, last_departed - 10, null, 0, 0, 0, 0 from walks
    where has_home_service and lay_place <> home and home in ('BIRCH', 'CEDAR')
    union all
    select case_number, 'CREM', crematory_arrived + 5, cremated, null, 0, 0, 0, 0 from walks where ending = 'cremation'
)

select
    stays.case_number,
    300 + counts.week_number,
    counts.minute,
    'counted',
    null,
    null,
    stays.place,
    case
        when counts.minute > stays.shelved and counts.minute < stays.taken
            and (counts.minute < stays.out_from or counts.minute > stays.out_until)
            then stays.shelf
    end,
    null,
    null,
    'CNT-' || stays.place || '-' || date_text(counts.day),
    'c'
from counts
inner join stays on counts.minute > stays.since and counts.minute < stays.until;
