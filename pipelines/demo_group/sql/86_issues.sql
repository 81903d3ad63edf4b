-- What left the shelves for a case: merchandise from the home, fluids where the embalming was. Amounts are 1/100000
-- mL of a fluid, 1/100000 of a piece else.
create or replace temp table month_ends as
select unnest(range(0, 6)) as bucket,
    unnest([minutes_of('2026-06-01 03:00:00'), minutes_of('2026-07-01 03:00:00'), minutes_of('2026-08-01 03:00:00'),
        minutes_of('2026-09-01 03:00:00'),
        minutes_of('2026-10-01 03:00:00'), minutes_of('2026-11-01 03:00:00')]) as counted_at;
create or replace macro bucket_of(minute) as
    (minute > minutes_of('2026-06-01 03:00:00'))::integer + (minute > minutes_of('2026-07-01 03:00:00'))::integer
    + (minute > minutes_of('2026-08-01 03:00:00'))::integer + (minute > minutes_of('2026-09-01 03:00:00'))::integer
    + (minute > minutes_of('2026-10-01 03:00:00'))::integer + (minute > minutes_of('2026-11-01 03:00:00'))::integer;

create or replace temp table issues as
with mixed as (
    select
        settled.*,
        draws('fluid:' || case_number) as f1,
        -- About a US gallon for each 50 lb of body weight, in half gallons (study cards, secondary).
        (weight_kg * 22046 * 2 / 10000 / 50)::bigint * 1893 as volume_ml,
        case when is_autopsied then 'ART-30' else 'ART-25' end as arterial
    from settled
    where is_embalmed and embalming_finished <= cut_off
),

measured as (
    select
        *,
        -- Strength 1.6 to 2.3 g per 100 mL, autopsied 2.0 to 2.8 (1-2 % usual; stronger after an autopsy: common
        -- practice, no source).
        volume_ml * (case when is_autopsied then between_of(f1, 0, 200, 280) else between_of(f1, 0, 160,
            230) end) * 1000
        // case when is_autopsied then 30 else 25 end as arterial_amount,
        between_of(f1, 16, 56, 66) as cavity_half_ounces
    from mixed
),

poured as (
    select case_number, tile, lay_place as place, zone, embalming_started + 5 as minute, arterial as item_code,
        1 as row_place, volume_ml as mixed_ml,
        case when f1 % 10 < 5 then 'ml' when f1 % 10 < 8 then 'fl_oz' else 'each' end as unit, arterial_amount as amount
    from measured
    union all
    select case_number, tile, lay_place, zone, embalming_started + 5, 'DYE-01', 2, null, 'ml', (15
        + f1 // 10 % 45)::bigint * 100000
    from measured where f1 // 100 % 5 < 2
    union all
    select case_number, tile, lay_place, zone, embalming_finished - 10, 'CAV-24', 3, null,
        case when f1 // 1000 % 10 < 4 then 'each' when f1 // 1000 % 10 < 8 then 'fl_oz' else 'ml' end,
            cavity_half_ounces * 1478675
    from measured
),

rounded as (
    select
        * replace (
            case unit
                when 'ml' then (amount + 50000) // 100000 * 100000
                when 'fl_oz' then (amount + 739337) // 1478675 * 1478675
                else (amount + 5914700) // 11829400 * 11829400
            end as amount
        )
    from poured
),

goods as (
    select charges.case_number, settled.tile, settled.home as place, settled.zone,
        case when charges.item_code like 'URN-%' then settled.cremated + 30 else settled.arranged + 90 end as minute,
        case charges.item_code when 'S04-DIRCREM-ALT' then 'ALT-01' when 'S05-IMMBUR-ALT' then 'ALT-02'
            else charges.item_code end as item_code,
        charges.place as row_place, charges.quantity::bigint * 100000 as amount, settled.cut_off
    from charges
    inner join settled using (case_number)
    where left(charges.item_code, 3) in ('CSK', 'ALT', 'URN', 'OBC') or charges.item_code in ('S04-DIRCREM-ALT',
        'S05-IMMBUR-ALT')
),

-- Disinfectant and gloves go out weekly to no case.
used as (
    select null::varchar as case_number, tile, place, case when place = 'CEDAR' then 'America/Denver'
        else 'America/Chicago' end as zone,
        minutes_of('2026-05-20 14:00:00') + week_number * 10080 + (u1 % 400)::bigint as minute, item_code, 90
            + week_number as row_place,
        case item_code when 'DIS-01' then 2 + u1 // 1000 % 3 else 1 + u1 // 1000 % 2 end::bigint
        * case item_code when 'DIS-01' then 47317600 else 100000 end as amount
    from (
        select tile, place, item_code, week_number, draws('used:' || tile::varchar || ':' || place || ':' || item_code
            || ':' || week_number::varchar) as u1
        from (select distinct tile from seats), (values ('CARE'), ('BIRCH'), ('CEDAR'), ('CREM')) as places (place),
            (values ('DIS-01'), ('PPE-01')) as kinds (item_code), (select unnest(range(0, 26)) as week_number)
    )
)

select case_number, tile, place, zone, minute, item_code, row_place, unit, amount, mixed_ml from rounded
union all
select case_number, tile, place, zone, minute, item_code, row_place, 'each', amount, null from goods
    where minute <= cut_off
union all
select case_number, tile, place, zone, minute, item_code, row_place, 'each', amount, null from used
    where minute <= getvariable('cut_off');
