-- A bill for each delivery, and for each cash advance one at the amount that the family pays.
create or replace temp table supplier_bill_lines as
with lines as (
    select
        case goods when 'F' then 'SUP-FLUID' when 'C' then 'SUP-CASKET' else 'SUP-URN' end as supplier_code,
            replace(delivery, 'DLV-', 'B-') as bill_number,
        row_number() over (partition by delivery order by item_code) as line_number, day + 1
            + (draws(delivery) % 4)::integer as bill_day, place, item_code,
        pieces as quantity, unit_cents, delivery, null as case_number
    from deliveries
    union all
    select
        case charges.item_code
            when 'ADV-CERT' then 'COUNTY' when 'ADV-PERMIT' then 'COUNTY' when 'ADV-OBIT' then 'HERALD'
                when 'ADV-CLERGY' then 'CLERGY'
            when 'ADV-FLOWERS' then 'FLORIST' else 'CEMETERY'
        end,
        'CA-' || charges.case_number, charges.place, settled.act_date, settled.home, charges.item_code,
            charges.quantity, charges.cents, null, charges.case_number
    from charges
    inner join settled using (case_number)
    where charges.category = 'cash_advance' and settled.act <= settled.cut_off
)

select
    supplier_code,
    bill_number,
    line_number::varchar as line_number,
    date_text(bill_day) as bill_date,
    place as location_id,
    item_code,
    replace(stock_items.description, ' (bought for the family)', '') as description,
    quantity::varchar as quantity,
    money_text(unit_cents) as unit_cost,
    money_text(quantity * unit_cents) as line_total,
    delivery as delivery_document,
    case_number,
    (epoch_ms(bill_day::timestamp) // 60000)::bigint as sort_minute
from lines
inner join stock_items using (item_code);
