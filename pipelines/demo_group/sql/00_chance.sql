-- Chance drawn from md5 of stable text keys: the same key gives the same draw with any thread count and any DuckDB 2.x.
-- Sixty-three bits a key, taken fifteen at a time from a first bit of 0 to 48 and doubled: 0 to 65534. Integers
-- only: no logarithm or root, whose last digit may differ from machine to machine.
create or replace macro draws(stable_key) as (md5_number_lower(stable_key) >> 1)::bigint;
create or replace macro draw(draws_of_key, first_bit) as ((draws_of_key >> first_bit) & 32767) * 2;
create or replace macro chance(draws_of_key, first_bit, share) as draw(draws_of_key, first_bit) < share * 65536;
create or replace macro between_of(draws_of_key, first_bit, low, high) as
    low + draw(draws_of_key, first_bit) * (high - low + 1) // 65536;
create or replace macro pick(draws_of_key, first_bit, choices) as
    choices[1 + draw(draws_of_key, first_bit) * len(choices) // 65536];
-- Thousandths of the median of a log-normal with sigma 0.6 at each twentieth (first and last: 0.5 % and 99.5 %),
-- between them straight lines.
create or replace macro skewed(draws_of_key, first_bit, median_minutes) as (
    median_minutes * (
        [213, 373, 464, 537, 604, 667, 730, 794, 859, 927, 1000, 1078, 1164, 1260, 1370, 1499, 1657, 1862, 2157, 2683,
            4690][
            1 + draw(draws_of_key, first_bit) * 20 // 65536
        ] * (1000 - draw(draws_of_key, first_bit) * 20 % 65536 * 1000 // 65536)
        + [213, 373, 464, 537, 604, 667, 730, 794, 859, 927, 1000, 1078, 1164, 1260, 1370, 1499, 1657, 1862, 2157,
            2683, 4690][
            2 + draw(draws_of_key, first_bit) * 20 // 65536
        ] * (draw(draws_of_key, first_bit) * 20 % 65536 * 1000 // 65536)
    ) // 1000000
)::bigint;

-- Instants are minutes since 1970-01-01T00:00Z. The window 2026-05-18 to 2026-11-16 holds one clock change:
-- 2026-11-01 02:00 local daylight time, 07:00Z in America/Chicago and 08:00Z in America/Denver (tz database).
create or replace macro minutes_of(utc_stamp) as (epoch_ms(utc_stamp::timestamp) // 60000)::bigint;
create or replace macro zone_offset(utc_minutes, zone) as case
    when zone = 'America/Denver'
        then case when utc_minutes >= minutes_of('2026-11-01 08:00:00') then -420 else -360 end
    else case when utc_minutes >= minutes_of('2026-11-01 07:00:00') then -360 else -300 end
end;
create or replace macro local_stamp(utc_minutes, zone) as make_timestamp((utc_minutes + zone_offset(utc_minutes,
    zone)) * 60000000);
create or replace macro local_date(utc_minutes, zone) as local_stamp(utc_minutes, zone)::date;
create or replace macro date_text(day) as strftime(day, '%Y-%m-%d');
create or replace macro instant_text(utc_minutes, zone) as
    strftime(local_stamp(utc_minutes, zone), '%Y-%m-%dT%H:%M')
    || case zone_offset(utc_minutes, zone) when -300 then '-05:00' when -360 then '-06:00' else '-07:00' end;
-- At least so many digits; longer numbers stay whole (lpad alone would cut them).
create or replace macro padded(number, width) as repeat('0', greatest(width - len(number::varchar), 0)::bigint)
    || number::varchar;
create or replace macro money_text(cents) as
    case when cents < 0 then '-' else '' end || (abs(cents) // 100)::varchar || '.'
        || lpad((abs(cents) % 100)::varchar, 2, '0');
-- 100000ths to a plain decimal text of at most four places.
create or replace macro amount_text(hundred_thousandths) as
    regexp_replace(((hundred_thousandths + 5) // 10 / 10000)::decimal(18, 4)::varchar, '\.?0+$', '');
