-- A shelf for each stay. A shelf comes round again after 48 (CARE) or 24 later arrivals, about 24 days; stays over
-- 15 days have long-stay shelves
-- of their own, so that no shelf holds two.
create or replace temp table shelves as
with stays as (
    select
        case_number,
        tile,
        lay_place,
        shelved,
        coalesce(left_care, last_departed, act) as left_shelf,
        coalesce(coalesce(left_care, last_departed, act) - shelved > 21600, true) as is_long
    from journeys
    where not is_never_received
),

ranked as (
    select
        *,
        row_number() over (partition by tile, lay_place, is_long order by shelved, case_number) - 1 as turn
    from stays
)

select
    case_number,
    left_shelf,
    case
        when is_long then lay_place || '-L' || padded((tile * 60 + turn % 60 + 1), 2)
        when lay_place = 'CARE' then 'CARE-C' || padded((tile * 48 + turn % 48 + 1), 2)
        else lay_place || '-C' || padded((tile * 24 + turn % 24 + 1), 2)
    end as shelf
from ranked;

create or replace temp table walks as
select
    journeys.*,
    shelves.shelf,
    shelves.left_shelf,
    case when lay_place = 'CARE' then 'CARE' else home end as keeper,
    case when has_home_service or lay_place <> 'CARE' then home else 'CARE' end as last_keeper,
    case when has_home_service and lay_place = home then viewed - 20 else left_shelf - 6 end as taken,
    draws('event:' || case_number) as e1,
    'vehicle:V' || (tile * 6 + 1 + t4 % 6)::varchar as first_car,
    'vehicle:V' || (tile * 6 + 1 + t3 % 6)::varchar as last_car,
    case
        when ending = 'entombment' then 'cemetery:STILLWATER'
        else 'cemetery:' || ['OAKMOUND', 'PRAIRIE-REST', 'STILLWATER'][1 + (t2 % 3)::integer]
    end as grave,
    case
        when ending = 'trade' then origin
        when ending = 'shipped' then 'carrier:HIGHPLAINS-AIR'
        when ending = 'donation' then 'institution:ANATOMY-BOARD'
        else 'funeral_home:' || ['TALLGRASS', 'LONEPINE', 'MESA-VIEW', 'CLEARWATER'][1 + (t2 % 4)::integer]
    end as outside,
    (t1 % 5)::integer as effects_count,
    chance(t3, 20, 0.3) as has_effects,
    ending not in ('waiting', 'cancelled') and not is_embalmed and chance(t2, 20, 0.05) as has_hold
from journeys
inner join shelves using (case_number);
