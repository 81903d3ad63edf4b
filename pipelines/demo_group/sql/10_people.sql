-- One row per case: which home, who the person was, how they died. A tile is 480 cases of the same five places;
-- places' shelves, chambers,
-- staff and stock grow with the number of tiles, so that the rules hold at any size.
create or replace temp table seats as
select
    position // 480 as tile,
    position % 480 as seat,
    -- Fifteen calls in a row: six to ALDER, five to BIRCH, four to CEDAR (judgement: homes of unlike size).
    substr('ABCABACABCABACB', 1 + position % 15, 1) as home_letter,
    position // 15 * [6, 5, 4][instr('ABC', home_letter)]
    + 1 + position % 15 - len(replace(substr('ABCABACABCABACB', 1, 1 + position % 15), home_letter, '')) as nth
from (select unnest(range(getvariable('first_case'), getvariable('end_case'))) as position);

create or replace temp table people as
with numbered as (
    select
        tile,
        seat,
        case home_letter when 'A' then 'ALDER' when 'B' then 'BIRCH' else 'CEDAR' end as home,
        case home_letter when 'A' then 'AL' when 'B' then 'BI' else 'CE' end || '-26-' || padded(nth, 4) as case_number,
        case home_letter when 'C' then 'America/Denver' else 'America/Chicago' end as zone
    from seats
),

drawn as (
    select
        *,
        draws('person:' || case_number) as d1,
        draws('body:' || case_number) as d2,
        draws('call:' || case_number) as d3,
        draws('name:' || case_number) as d4
    from numbered
),

called as (
    select
        drawn.*,
        -- A stratified call time: the seat's share of the window, bent by the season.
        season.starts + (seat * 65536 + draw(d3, 0) - season.from_place)
        * (season.ends - season.starts) // (season.to_place - season.from_place) as first_call,
        case
            when chance(d1, 0, 0.35) then
                case when chance(d1, 16, 0.80) then '1' when chance(d1, 16, 0.965) then '2' else '3' end
            when chance(d1, 0, 0.664) then '4'
            when chance(d1, 0, 0.93) then case when chance(d1, 16, 0.31) then '5' else '6' end
            when chance(d1, 0, 0.99) then '7'
            else '9'
        end as place_code,
        chance(d1, 32, 0.52) as is_male,
        case
            when chance(d1, 48, 0.265) then between_of(d2, 0, 24, 64)
            when chance(d1, 48, 0.71) then between_of(d2, 0, 65, 84)
            else between_of(d2, 0, 85, 101)
        end as age
    from drawn
    inner join season on drawn.seat * 65536 + draw(drawn.d3, 0) >= season.from_place
        and drawn.seat * 65536 + draw(drawn.d3, 0) < season.to_place
)

select
    *,
    -- Share seen by a medical examiner: judgement, so that the turnaround has its long tail.
    chance(d2, 16, case when place_code in ('3', '7', '9') then 0.55 else 0.05 end) as is_examined,
    chance(d3, 16, 0.018) as is_trade_call,
    case when is_male then chance(d3, 32, 0.22) else chance(d3, 32, 0.012) end as is_veteran,
    case when is_male then between_of(d2, 32, 58, 108) else between_of(d2, 32, 46, 92) end as weight_kg,
    pick(d4, 0, (select words from name_words where kind = 'given')) as given_name,
    pick(d4, 16, (select words from name_words where kind = 'family')) as family_name,
    between_of(d4, 32, 0, 364) as birth_day,
    draw(d4, 48) as birth_known
from called;
