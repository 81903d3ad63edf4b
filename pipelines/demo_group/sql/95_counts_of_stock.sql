-- Month-end counts of every place and item: what the records say should be there.
create or replace temp table stock_counts as
with running as (
    select
        keys.place, keys.item_code, month_ends.bucket, month_ends.counted_at,
        (sum(stock_flows.amount) filter (where stock_flows.bucket <= month_ends.bucket))::bigint as amount
    from (select distinct place, item_code from stock_flows) as keys
    cross join month_ends
    inner join stock_flows using (place, item_code)
    group by all
)

select
    'MV-COUNT-' || place || '-' || item_code || '-' || bucket::varchar as movement_id,
    instant_text(counted_at, zone_of(place)) as occurred_at,
    place as location_id,
    item_code,
    'counted' as movement_kind,
    amount_text(amount) as quantity,
    case when stock_items.content is null then 'each' else 'ml' end as unit,
    null::varchar as unit_cost,
    null::varchar as lot_number,
    null::varchar as expires_date,
    null::varchar as case_number,
    null::varchar as mixed_volume_ml,
    'CNT-' || place || '-' || date_text(local_date(counted_at, zone_of(place))) as document_number,
    left(place, 2) || '-S1' as recorded_by,
    counted_at as sort_minute
from running
inner join stock_items using (item_code);
