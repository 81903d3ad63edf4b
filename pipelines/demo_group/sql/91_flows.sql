-- What the month-end counts are made from, over all blocks.
insert into stock_flows
select
    location_id, item_code, bucket_of(sort_minute),
    sum(case when movement_kind in ('issued', 'sent', 'written_off') then -amount else amount end)::bigint
from supply_movements
where amount <> 0
group by all;
