-- What the homes charge, in cents at ALDER in January 2026; other homes and the later list by a factor, rounded to
-- five dollars.
-- Levels lie within published ranges: direct cremation 490-3,390 (Washington 2014), full service 2,580-13,800 (ten
-- areas, 2015).
create or replace temp table services as
select * from (
    values
    ('S01-BASIC', 'basic_services_fee', 'Basic services of director and staff', 229500, 'flat', 'N', null, null,
        'basic_fee_nondeclinable'),
    ('S02-FORWARD', 'forwarding_remains', 'Forwarding of remains to another firm, with preparation and container',
        245000, 'flat', 'Y', null, null, null),
    ('S03-RECEIVE', 'receiving_remains', 'Receiving of remains from another firm', 215000, 'flat', 'Y', null, null,
        null),
    ('S04-DIRCREM-OWN', 'direct_cremation', 'Direct cremation, container brought by the purchaser', 114500, 'flat',
        'Y', 'purchaser_container', null, 'alternative_container'),
    ('S04-DIRCREM-ALT', 'direct_cremation', 'Direct cremation with alternative container', 129500, 'flat', 'Y',
        'alternative_container', 'ALT-01', 'alternative_container'),
    ('S05-IMMBUR-OWN', 'immediate_burial', 'Immediate burial, casket brought by the purchaser', 219500, 'flat', 'Y',
        'purchaser_casket', null, null),
    ('S05-IMMBUR-ALT', 'immediate_burial', 'Immediate burial with alternative container', 244500, 'flat', 'Y',
        'alternative_container', 'ALT-02', null),
    ('S06-TRANSFER', 'transfer_of_remains', 'Transfer of remains to the home, 30 miles', 39500, 'flat', 'Y', null,
        null, null),
    ('S07-EMBALM', 'embalming', 'Embalming', 89500, 'flat', 'Y', null, null, 'embalming_not_required'),
    ('S08-PREP', 'other_preparation', 'Dressing, cosmetics and casketing', 29500, 'flat', 'Y', null, null, null),
    ('S09-VIEWING', 'facilities_staff_viewing', 'Facilities and staff for viewing', 49500, 'flat', 'Y', null, null,
        null),
    ('S10-CEREMONY', 'facilities_staff_funeral_ceremony', 'Facilities and staff for funeral ceremony', 64500, 'flat',
        'Y', null, null, null),
    ('S11-MEMORIAL', 'facilities_staff_memorial_service', 'Facilities and staff for memorial service', 54500, 'flat',
        'Y', null, null, null),
    ('S12-GRAVESIDE', 'equipment_staff_graveside', 'Equipment and staff for graveside service', 49500, 'flat', 'Y',
        null, null, null),
    ('S13-HEARSE', 'hearse', 'Hearse', 39500, 'flat', 'Y', null, null, null),
    ('S14-LIMOUSINE', 'limousine', 'Limousine, an hour', 9500, 'per_hour', 'Y', null, null, null),
    ('S17-CREMFEE', 'other', 'Crematory fee', 42500, 'flat', 'Y', null, null, null),
    ('S98-AIR', 'other', 'Handling of a person shipped by air', 19500, 'flat', 'Y', null, null, null),
    ('S18-WITNESS', 'other', 'Family present at the start of cremation', 19500, 'flat', 'Y', null, null, null)
) as listed (item_code, category, description, cents, charge_basis, is_declinable, variant, includes_items,
    disclosure_keys);

create or replace temp table stock_items as
select * from (
    values
    -- item, kind, what it is, content of one in 1/100000 mL, index (g per 100 mL; 20-30 and 24-27 are the federal
    -- descriptions' ranges), cost and price in cents
    ('ART-25', 'arterial_fluid', 'Arterial fluid, index 25, 16 fl oz bottle', 47317600, '25', 685, null),
    ('ART-30', 'arterial_fluid', 'Arterial fluid, index 30, 16 fl oz bottle', 47317600, '30', 740, null),
    ('CAV-24', 'cavity_fluid', 'Cavity fluid, index 24, 16 fl oz bottle', 47317600, '24', 610, null),
    ('SUP-05', 'supplementary_fluid', 'Water conditioner, 16 fl oz bottle', 47317600, null, 520, null),
    ('DYE-01', 'dye', 'Tissue dye, 16 fl oz bottle', 47317600, null, 890, null),
    ('DIS-01', 'disinfectant', 'Surface disinfectant, 16 fl oz bottle', 47317600, null, 430, null),
    ('PPE-01', 'protective', 'Nitrile gloves, box of 100', null, null, 1120, null),
    ('CSK-01', 'casket', 'Pine, oiled, unlined', null, null, 38500, 99500),
    ('CSK-02', 'casket', '20 gauge steel, not sealed, crepe', null, null, 52000, 149500),
    ('CSK-03', 'casket', '18 gauge steel, "dawn" finish, crepe', null, null, 79500, 219500),
    ('CSK-04', 'casket', 'Poplar, satin finish, velvet', null, null, 94000, 264500),
    ('CSK-05', 'casket', 'Oak, hand-rubbed, velvet', null, null, 128000, 339500),
    ('CSK-06', 'casket', 'Cherry, polished, velvet', null, null, 162000, 429500),
    ('CSK-07', 'casket', 'Solid copper, 32 oz, velvet', null, null, 218000, 559500),
    ('CSK-08', 'casket', 'Mahogany, carved, velvet', null, null, 276000, 689500),
    ('ALT-01', 'alternative_container', 'Fibreboard container', null, null, 4200, 14500),
    ('ALT-02', 'alternative_container', 'Cloth-covered composition container', null, null, 13800, 44500),
    ('URN-01', 'urn', 'Tin urn, plain', null, null, 1900, 7500),
    ('URN-02', 'urn', 'Ceramic urn, blue glaze', null, null, 5400, 18500),
    ('URN-03', 'urn', 'Walnut urn', null, null, 7200, 24500),
    ('URN-04', 'urn', 'Brass urn, brushed', null, null, 8800, 29500),
    ('URN-05', 'urn', 'Biodegradable urn', null, null, 4600, 15500),
    ('URN-06', 'urn', 'Marble urn, 200 cu in', null, null, 11900, 39500),
    ('OBC-01', 'outer_container', 'Concrete grave liner', null, null, 41000, 109500),
    ('OBC-02', 'outer_container', 'Concrete vault, lined', null, null, 68000, 184500),
    ('OBC-03', 'outer_container', 'Vault, stainless lined', null, null, 114000, 289500),
    ('OBC-04', 'outer_container', 'Vault, bronze lined', null, null, 242000, 549500),
    ('ADV-CERT', 'other', 'Certified copy of the death certificate (bought for the family)', null, null, 2100, null),
    ('ADV-PERMIT', 'other', 'Permit fee (bought for the family)', null, null, 2500, null),
    ('ADV-OBIT', 'other', 'Newspaper notice (bought for the family)', null, null, null, null),
    ('ADV-CLERGY', 'other', 'Clergy (bought for the family)', null, null, null, null),
    ('ADV-FLOWERS', 'other', 'Flowers (bought for the family)', null, null, null, null),
    ('ADV-CEMETERY', 'other', 'Opening and closing of the grave (bought for the family)', null, null, null, null)
) as listed (item_code, item_kind, description, content, index_text, cost_cents, price_cents);

-- BIRCH charges less, CEDAR more; ALDER raised its prices on 2026-08-01.
create or replace temp table list_versions as
select * from (
    values
    ('ALDER', 'America/Chicago', date '2026-01-01', date '2026-07-31', 100),
    ('ALDER', 'America/Chicago', date '2026-08-01', date '9999-12-31', 104),
    ('BIRCH', 'America/Chicago', date '2026-01-01', date '9999-12-31', 92),
    ('CEDAR', 'America/Denver', date '2026-01-01', date '9999-12-31', 108)
) as listed (home, zone, effective_from, effective_to, level);

create or replace temp table price_book as
select home, effective_from, effective_to, item_code, category, description, (cents * level // 100
    + 250) // 500 * 500 as cents
from list_versions, services
union all
select
    home, effective_from, effective_to, item_code,
    case item_kind when 'urn' then 'merchandise' when 'outer_container' then 'outer_burial_container_range_or_prices'
        else 'casket_range_or_prices' end,
    description, (price_cents * level // 100 + 250) // 500 * 500
from list_versions, stock_items
where price_cents is not null;
