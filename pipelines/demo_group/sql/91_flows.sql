-- What the block's movements leave at each place, by the month-end count before which they fall.
create or replace temp table stock_flows as
select
    location_id as place,
    item_code,
    bucket_of(sort_minute) as bucket,
    sum(case when movement_kind in ('issued', 'sent', 'written_off') then -amount else amount end)::bigint as amount
from supply_movements
where amount <> 0
group by all
order by all;
