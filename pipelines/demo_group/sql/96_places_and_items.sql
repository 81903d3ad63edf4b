-- The five places (room for people grows with the tiles) and what is kept in stock.
create or replace temp table locations as
select
    location_id, location_name, location_kind, time_zone, jurisdiction, address, telephone,
        (people * getvariable('tiles'))::varchar as capacity,
    uncooled_units, opened_date, null::varchar as closed_date
from (
    values
    ('ALDER', 'Alder Street Home', 'funeral_home', 'America/Chicago', 'US-TX', '12 Alder Street' || chr(10)
        || 'Ledger Springs, TX', '+1 555 0110', 4, null, '1987-04-01'),
    ('BIRCH', 'Birch Hill Home', 'funeral_home', 'America/Chicago', 'US-TX', '7 Birch Hill, Ledger Springs, TX',
        '+1 555 0120', 8, null, '1994-09-15'),
    ('CEDAR', 'Cedar Row Home', 'funeral_home', 'America/Denver', 'US-CO',
        '340 Cedar Row, "The Old Depot", Ledger Mesa, CO', '+1 555 0130', 16, 'CEDAR-PREP', '2003-02-10'),
    ('CARE', 'Shared Care Centre', 'care_centre', 'America/Chicago', 'US-TX', '1 Commerce Loop, Ledger Springs, TX',
        '+1 555 0140', 48, 'CARE-PREP;CARE-VIEW', '2015-06-01'),
    ('CREM', 'Group Crematory', 'crematory', 'America/Chicago', 'US-TX', '3 Commerce Loop, Ledger Springs, TX',
        '+1 555 0150', 6, null, '2015-06-01')
) as listed (location_id, location_name, location_kind, time_zone, jurisdiction, address, telephone, people,
    uncooled_units, opened_date);

create or replace temp table supply_items as
select
    item_code, description, item_kind, 'each' as unit, amount_text(content) as content_ml,
        index_text as formaldehyde_index, money_text(cost_cents) as list_cost
from stock_items;
