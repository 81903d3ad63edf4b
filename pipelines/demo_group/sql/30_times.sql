-- The instants of each case, in minutes, up to the moment when everything for the last act is in hand.
-- Medians by judgement; limits kept: certificate filed within 4.3 days of death (Texas: 10 days) and in Colorado
-- within 72 hours of receipt,
-- permit issued within 4.9 days of death, cared for within 24 hours of receipt,
-- cremation 74 hours or more after death (Texas waits 48, Tex. Health and Safety Code 716.004).
create or replace temp table called_times as
select
    *,
    draws('time:' || case_number) as t1,
    draws('paper:' || case_number) as t2,
    draws('last:' || case_number) as t3,
    draws('road:' || case_number) as t4,
    case
        when is_examined then first_call - between_of(d3, 48, 180, 1500)
        when ending = 'trade' then first_call - between_of(d3, 48, 120, 540)
        else first_call - between_of(d3, 48, 25, 150)
    end as died
from plans;

create or replace temp table received_times as
select
    *,
    died + between_of(t1, 0, 2, 20) as pronounced,
    case
        when is_examined then first_call + least(skewed(t1, 16, 2200), 8000)
        else first_call + 40 + least(skewed(t1, 16, 65), 300)
    end as received,
    -- Arranged in office hours, the same day for calls before dawn, else the next day or later.
    (first_call // 1440 + case when first_call % 1440 < 540 then 0 else 1 end + case when chance(t1, 32, 0.55) then 0
        when chance(t1, 32, 0.88) then 1 else 2 end)
    * 1440 + 14 * 60 + between_of(t1, 48, 0, 440) as arranged,
    died + least(skewed(t2, 0, case when is_examined then 2400 else 1500 end), case home when 'CEDAR' then 3000
        else 5000 end) as signed
from called_times;

create or replace temp table cared_times as
select
    *,
    signed + between_of(t2, 16, 45, 780) as filed,
    received + between_of(t4, 0, 6, 20) as left_origin,
    received + between_of(t4, 0, 6, 20) + between_of(t4, 16, 16, 75) as laid,
    received + between_of(t4, 0, 6, 20) + between_of(t4, 16, 16, 75) + between_of(t4, 32, 14, 45) as checked,
    received + between_of(t4, 0, 6, 20) + between_of(t4, 16, 16, 75) + between_of(t4, 32, 14, 45) + between_of(t4, 48,
        3, 12) as shelved,
    received + between_of(t4, 0, 6, 20) + between_of(t4, 16, 16, 75) + between_of(t4, 32, 14, 45) + between_of(t4, 48,
        3, 12)
    + 1 + t4 % 6 as refrigerated,
    -- A third of embalmings are approved by telephone soon after the call, the others at the arrangement.
    case when chance(t2, 32, 0.33) then first_call + between_of(t2, 48, 20, 90) else arranged + 15 end as approved
from received_times;

create or replace temp table ready_times as
with embalmed as (
    select
        *,
        filed + between_of(t3, 0, 30, 700) as permitted,
        arranged + between_of(t3, 16, 10, 60) as authorised,
        filed + between_of(t3, 32, 20, 360) as cleared,
        case when is_embalmed then greatest(refrigerated + 45, approved + 30) + between_of(t3, 48, 10,
            600) end as embalming_started,
        -- About one hour intact (1984 study: 1 h; 2022 study: mean 72.8 min); autopsied longer (common practice, no
        -- source).
        case when is_autopsied then between_of(t1, 8, 120, 240) else between_of(t1, 8, 50, 96) end as embalming_minutes
    from cared_times
)

select
    *,
    embalming_started + embalming_minutes as embalming_finished,
    greatest(
        permitted,
        arranged + 120,
        refrigerated + 60,
        coalesce(embalming_started + embalming_minutes + 120, 0),
        case when ending = 'cremation' then greatest(authorised, cleared, died + 4440) else 0 end
    ) + least(
        skewed(
            t1,
            24,
            case
                when ending in ('trade', 'donation') then 700
                when is_examined then 7000
                when ending = 'cremation' then 2300
                else 1700
            end
        ),
        24000
    ) as ready
from embalmed;
