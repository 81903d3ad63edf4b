-- The last act: burials by day, cremations one by one in three chambers, twelve starts a day.
create or replace temp table chamber_places as
with wanted as (
    select
        case_number,
        tile,
        ready,
        -- A home service the day before needs one more day.
        (ready // 1440 + 1 + case when has_home_service then 1 else 0 end) * 12 + draw(t4, 40) % 12 as wanted_place
    from ready_times
    where ending = 'cremation'
),

ranked as (
    select
        *,
        row_number() over (partition by tile order by wanted_place, ready, case_number) as turn
    from wanted
)

-- The next free place at or after the wanted one: turn + running maximum of (wanted - turn).
select
    case_number,
    turn + max(wanted_place - turn) over (partition by tile order by turn) as place
from ranked;

create or replace temp table last_acts as
with placed as (
    select
        ready_times.*,
        chamber_places.place,
        case
            when ending = 'cremation' then
                place // 12 * 1440 + 12 * 60 + place % 12 // 3 * 180 + between_of(t2, 24, 0, 20)
            when ending in ('burial', 'entombment') then (ready // 1440 + 1) * 1440 + 15 * 60 + between_of(t2, 24, 0,
                300)
            when ending in ('trade', 'shipped', 'donation') then ready
            when ending = 'cancelled' then refrigerated + between_of(t2, 24, 600, 2400)
        end as act,
        case when ending = 'cremation' then 'CREM-' || (ready_times.tile * 3 + place % 3 + 1)::varchar end as chamber
    from ready_times
    left join chamber_places using (case_number)
),

-- The person stands in the home for the service: on the day of a burial, the day before a cremation.
served as (
    select
        *,
        case
            when not has_home_service then null
            when ending = 'cremation' then (act // 1440 - 1) * 1440 + 15 * 60 + between_of(t3, 24, 0, 240)
            else act - between_of(t3, 24, 110, 150)
        end as home_service
    from placed
)

select
    *,
    coalesce(
        home_service,
        case
            when service_kind = 'graveside' then act - 30 when service_kind = 'witness_cremation' then act
            when service_kind = 'memorial' then (act // 1440 + 3 + t3 % 6) * 1440 + 16 * 60
        end
    ) as service,
    home_service - between_of(t4, 24, 60, 100) as viewed,
    home_service - between_of(t4, 24, 60, 100) - between_of(t2, 40, 80, 160) as home_arrived,
    home_service - between_of(t4, 24, 60, 100) - between_of(t2, 40, 80, 160) - between_of(t1, 40, 16, 50) as left_care,
    -- One and a half to two and a half hours with the cooling (65-90 min a cycle, 2-3 h with larger bodies: trade
    -- figures, secondary).
    act + between_of(t3, 8, 85, 150) as cremated,
    act + between_of(t3, 8, 85, 150) + between_of(t2, 8, 50, 260) as packed
from served;
