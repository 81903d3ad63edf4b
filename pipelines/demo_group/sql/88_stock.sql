-- Stock is made to fit what went out: an opening, then a delivery a month that covers the month's issues, so that no
-- shelf runs short.
create or replace temp table month_deliveries as
select unnest(range(1, 7)) as bucket,
    unnest(['2606', '2607', '2608', '2609', '2610', '2611']) as year_month,
    unnest([date '2026-06-04', date '2026-07-06', date '2026-08-05', date '2026-09-03', date '2026-10-06',
        date '2026-11-03']) as day;

create or replace temp table stocked as
with usual as (
    select tile, place, item_code from (select distinct tile from seats),
        (values ('CARE'), ('BIRCH'), ('CEDAR')) as rooms (place), (values ('ART-25'), ('ART-30'), ('CAV-24'),
            ('SUP-05'), ('DYE-01')) as fluids (item_code)
    union
    select tile, place, item_code from issues
),

by_bucket as (
    select tile, place, item_code, bucket_of(minute) as bucket, sum(amount)::bigint as amount from issues group by all
),

used as (
    select
        usual.tile, usual.place, usual.item_code, buckets.bucket, coalesce(by_bucket.amount, 0) as amount,
        coalesce(stock_items.content, 100000) as one, stock_items.cost_cents
    from usual
    cross join (select unnest(range(0, 7)) as bucket) as buckets
    inner join stock_items on usual.item_code = stock_items.item_code
    left join by_bucket
        on usual.tile = by_bucket.tile and usual.place = by_bucket.place and usual.item_code = by_bucket.item_code
            and buckets.bucket = by_bucket.bucket
)

select
    tile, place, item_code, bucket, one, cost_cents, amount,
    case
        when bucket = 0 then
            (amount + one - 1) // one + (max(amount) over (partition by tile, place, item_code) + one - 1) // one
            + case when item_code = 'DIS-01' and place = 'CARE' then 14 else 2 end
        -- Fluids come every month, so that each month has its lot.
        else greatest((amount + one - 1) // one, case when item_code in ('ART-25', 'ART-30', 'CAV-24', 'SUP-05',
            'DYE-01', 'DIS-01', 'PPE-01') then 1 else 0 end)
    end as pieces
from used;

create or replace macro has_lot(item_code) as left(item_code, 3) in ('ART', 'CAV', 'SUP', 'DYE', 'DIS', 'PPE');
create or replace macro lot_of(item_code, bucket) as
    case when has_lot(item_code) then replace(item_code, '-', '') || '-' || ['2604', '2606', '2607', '2608', '2609',
        '2610', '2611'][1 + bucket] end;
create or replace macro lot_end(bucket) as (date '2027-10-31' + (bucket * 30)::integer);
create or replace macro zone_of(place) as case when place = 'CEDAR' then 'America/Denver' else 'America/Chicago' end;

create or replace temp table deliveries as
select
    stocked.*,
    month_deliveries.day,
    case left(item_code, 3) when 'URN' then 'U' when 'CSK' then 'C' when 'ALT' then 'C' when 'OBC' then 'C'
        else 'F' end as goods,
    cost_cents * (985 + (draws('cost:' || tile::varchar || place || item_code
        || stocked.bucket::varchar) % 31)::bigint) // 1000 as unit_cents,
    'DLV-' || place || '-' || year_month || '-' || goods || '-' || (tile + 1)::varchar as delivery
from stocked
inner join month_deliveries on stocked.bucket = month_deliveries.bucket
where pieces > 0;
