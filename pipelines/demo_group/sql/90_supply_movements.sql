-- The movements of one block of tiles; the month-end counts, which need every tile, come last (95).
create or replace temp table moves as
select
    'MV-' || case when case_number is null then place || '-' || (tile + 1)::varchar || '-' || item_code
        else case_number end || '-' || row_place::varchar as movement_id,
    minute, place, item_code, 'issued' as kind, amount, unit, null::bigint as unit_cents,
    lot_of(item_code, case when bucket_of(minute) = 0 then 0
        when minute >= (epoch_ms(day::timestamp) // 60000)::bigint + 960 then issues_bucket
        else issues_bucket - 1 end) as lot,
    null::date as expires, case_number, mixed_ml, null as document, 'issued' as reason
from (select *, bucket_of(minute) as issues_bucket from issues)
left join month_deliveries on issues_bucket = month_deliveries.bucket
union all
select
    'MV-OPEN-' || place || '-' || (tile + 1)::varchar || '-' || item_code, minutes_of('2026-05-18 04:00:00'), place,
        item_code, 'opening', pieces * one, 'each', cost_cents,
    lot_of(item_code, 0), case when has_lot(item_code) then lot_end(0) end, null, null, null, 'opening'
from stocked
where bucket = 0
union all
select
    'MV-' || delivery || '-' || item_code, (epoch_ms(day::timestamp) // 60000)::bigint + 960, place, item_code,
        'received', pieces * one, 'each', unit_cents,
    lot_of(item_code, bucket), case when has_lot(item_code) then lot_end(bucket) end, null, null, delivery, 'received'
from deliveries
union all
-- The centre sends CEDAR two bottles of disinfectant a month, of the month's lot.
select
    'MV-' || kind || '-' || year_month || '-' || (tile + 1)::varchar, (epoch_ms(day::timestamp) // 60000)::bigint
        + 6 * 1440 + case kind when 'sent' then 960 else 2500 end,
    case kind when 'sent' then 'CARE' else 'CEDAR' end, 'DIS-01', kind, 2 * 47317600, 'each', null, lot_of('DIS-01',
        bucket), lot_end(bucket), null, null,
    'TRN-' || year_month || '-' || (tile + 1)::varchar, kind
from month_deliveries, (select distinct tile from seats), (values ('sent'), ('arrived')) as kinds (kind)
union all
select
    'MV-OFF-' || (tile + 1)::varchar, minutes_of('2026-09-15 15:00:00'), 'CARE', 'DYE-01', 'written_off', 47317600,
        'each', null, lot_of('DYE-01', 4), lot_end(4), null, null,
    'OFF-' || (tile + 1)::varchar, 'written_off'
from (select distinct tile from seats);

create or replace temp table supply_movements as
select
    movement_id,
    instant_text(minute, zone_of(place)) as occurred_at,
    place as location_id,
    item_code,
    kind as movement_kind,
    case unit
        when 'ml' then amount_text(amount)
        -- Whole half ounces, 29.5735 mL an ounce.
        when 'fl_oz' then amount_text(amount // 1478675 * 50000)
        else amount_text(amount * 100000 // coalesce(stock_items.content, 100000))
    end as quantity,
    moves.unit,
    money_text(unit_cents) as unit_cost,
    lot as lot_number,
    date_text(expires) as expires_date,
    case_number,
    mixed_ml::varchar as mixed_volume_ml,
    document as document_number,
    left(place, 2) || '-S' || (1 + draws(movement_id) % 6)::varchar as recorded_by,
    minute as sort_minute,
    -- Signed by its kind when the counts are made.
    amount
from moves
inner join stock_items using (item_code);
