-- Formaldehyde in the preparation rooms, thrice in the window: shift, task and short-term samples.
-- Levels as measured (J Occup Environ Hyg 2022;19(7):425: shift 0.007-1.1 ppm, task 0.058-1.4), here kept under the
-- limits of 29 CFR 1910.1048(b)-(c).
create or replace temp table air_samples as
with taken as (
    select
        *,
        draws('air:' || tile::varchar || ':' || place || ':' || visit::varchar || ':' || sample_kind) as a1,
        zone_of(place) as zone,
        unnest_day as day
    from (select distinct tile from seats), (values ('CARE'), ('BIRCH'), ('CEDAR')) as rooms (place),
        (select unnest(range(1, 4)) as visit, unnest([date '2026-05-26', date '2026-08-18',
            date '2026-11-05']) as unnest_day),
        (values ('shift', 480), ('task', 75), ('short_term', 15)) as kinds (sample_kind, usual_minutes)
)

select
    'AS-' || place || '-' || visit::varchar || case sample_kind when 'shift' then 'S' when 'task' then 'T'
        else 'P' end || '-' || (tile + 1)::varchar as sample_id,
    instant_text((epoch_ms(day::timestamp) // 60000)::bigint + 840 + case sample_kind when 'shift' then 0
        else (a1 % 180)::bigint end, zone) as started_at,
    place as location_id,
    (usual_minutes - case sample_kind when 'task' then (a1 // 7 % 20)::integer else 0 end)::varchar as minutes,
    case sample_kind
        when 'shift' then amount_text((40 + a1 // 11 % 260)::bigint * 100)
        when 'task' then amount_text((80 + a1 // 11 % 700)::bigint * 100)
        else amount_text((200 + a1 // 11 % 1100)::bigint * 100)
    end as formaldehyde_ppm,
    sample_kind,
    left(place, 2) || '-S' || (
        tile * 9 + 1 + a1 // 13 % 3 + case sample_kind when 'shift' then 0 when 'task' then 3 else 6 end
    )::varchar as worker_code,
    (epoch_ms(day::timestamp) // 60000)::bigint as sort_minute
from taken;
