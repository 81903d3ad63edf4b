insert into accepted.price_list_items (category, item_number, item_name, paragraph, citation, status)
values
    ('direct_cremation', 3, 'Direct cremation', '(ii)(C)', '16 CFR 453.2(b)(4)', 'secondary text'),
    ('embalming', 6, 'Embalming', '(ii)(F)', '16 CFR 453.2(b)(4)', 'secondary text'),
    ('basic_services_fee', 16, 'Basic services', '(iii)(C)', '16 CFR 453.2(b)(4)', 'secondary text');
insert into accepted.disclosures (disclosure_key, document, wording, applies_when, citation, status)
values ('embalming_not_required', 'general', 'Except in certain special cases, embalming is not required by law.',
    'embalming offered', '16 CFR 453.3(a)(2)(ii)', 'official text');

create table marts.price_list_completeness as
select
    h.home as location_id, date '2026-06-01' as effective_from, true as is_in_force, i.item_number,
    i.category, i.item_name, i.paragraph,
    case when h.home = 'CEDAR' and i.category = 'embalming' then 'not listed' else 'listed' end as state,
    true as is_sold,
    case when h.home = 'CEDAR' and i.category = 'embalming' then null
        else 500 + 100 * h.k + 50 * i.item_number end::decimal(18, 2) as price,
    null::decimal(18, 2) as price_high
from accepted.price_list_items as i
cross join (values ('ALDER', 1), ('BIRCH', 2), ('CEDAR', 3)) as h (home, k);

create table marts.price_list_in_force as
select
    h.home as location_id, 'general' as list_kind, date '2026-06-01' as effective_from, i.item_number,
    i.category, upper(i.category) as item_code,
    case when i.category = 'embalming' then '=Embalming <i>standard</i>' else i.item_name end as description,
    (500 + 100 * h.k + 50 * i.item_number)::decimal(18, 2) as price,
    case when i.category = 'direct_cremation' then 2000 end::decimal(18, 2) as price_high,
    'flat' as charge_basis, null::varchar as variant, i.category <> 'basic_services_fee' as is_declinable,
    case when i.category = 'embalming' then 'embalming_not_required' end as disclosure_keys
from accepted.price_list_items as i
cross join (values ('ALDER', 1), ('BIRCH', 2), ('CEDAR', 3)) as h (home, k)
where not (h.home = 'CEDAR' and i.category = 'embalming');

create table marts.charges_checked as
select
    'INV-' || case_number as document_number, n::bigint as line_number, 'invoice' as document_kind,
    date '2026-11-12' as document_date, case_number, location_id, date '2026-11-10' as arrangement_date,
    case n when 1 then 'EMBALMING' else '007' end as item_code,
    case n when 1 then 'embalming' else 'hearse' end as category,
    case n when 1 then '@embalming' else 'Hearse' end as description,
    1::decimal(18, 4) as quantity,
    case when i = 4 and n = 1 then 920.50 else 800 end::decimal(18, 2) as unit_price,
    case when i = 4 and n = 1 then 920.50 else 800 end::decimal(18, 2) as line_total,
    date '2026-06-01' as list_effective_from, 800::decimal(18, 2) as list_price,
    null::decimal(18, 2) as list_price_high,
    case when i = 4 and n = 1 then 120.50 else 0 end::decimal(18, 2) as difference,
    case when i = 4 and n = 1 then 'above list' when i = 5 then 'not on list' else 'agrees' end as check_state,
    'f-statement_lines' as file_id, (10 * i + n)::bigint as line
from (select *, substr(case_number, 7)::bigint as i from marts.custody_cases)
cross join range(1, 3) as r (n);

create table marts.merchandise_matched as
select
    case_number, location_id, case when i % 2 = 0 then 'CASKET-01' else '0042' end as item_code,
    case when i % 2 = 0 then 'casket' else 'urn' end as item_kind, '-Oak, "plain"' as description,
    1::decimal(18, 4) as billed_quantity, 1500::decimal(18, 2) as billed_amount,
    case when i = 5 then 0 else 1 end::decimal(18, 4) as issued_quantity,
    case when i = 5 then 0 else 700 end::decimal(18, 2) as issued_cost,
    1::decimal(18, 4) as bought_quantity, 700::decimal(18, 2) as bought_cost,
    case when i = 5 then 'billed not issued' when i = 6 then 'swapped' else 'agrees' end as match_state,
    case when i = 6 then 'URN-09' end as swapped_item_code, i <= 9 as is_due
from (select *, substr(case_number, 7)::bigint as i from marts.custody_cases);

create table marts.merchandise_by_month as
select
    l.home as location_id, m.month_start, k.item_kind, 10::decimal(18, 4) as billed_quantity,
    15000::decimal(18, 2) as billed_amount, 9::decimal(18, 4) as issued_quantity,
    6300::decimal(18, 2) as issued_cost, 8700::decimal(18, 2) as margin
from (values ('ALDER'), ('BIRCH'), ('CEDAR')) as l (home)
cross join (values (date '2026-09-01'), (date '2026-10-01'), (date '2026-11-01')) as m (month_start)
cross join (values ('casket'), ('urn')) as k (item_kind);

insert into accepted.supply_items (item_code, description, item_kind, unit) values
    ('CASKET-01', 'Oak', 'casket', 'each'), ('0042', 'Urn', 'urn', 'each');
create table marts.stock_roll_forward as
select
    l.home as location_id, k.code as item_code, k.says as description, 'each' as unit,
    20::double as opening, 10::double as received, 2::double as arrived, 1::double as returned,
    9::double as issued, 3::double as sent, 1::double as written_off, 20::double as expected,
    case when l.home = 'BIRCH' and k.code = '0042' then 18 else 20 end::double as counted,
    case when l.home = 'BIRCH' and k.code = '0042' then -2 else 0 end::double as difference,
    timestamp '2026-09-01 12:00:00' as opened_at, timestamp '2026-11-14 20:00:00' as counted_at,
    0::bigint as unconverted_count, 1::bigint as movements_held_back
from (values ('ALDER'), ('BIRCH'), ('CEDAR')) as l (home)
cross join (values ('CASKET-01', 'Oak'), ('0042', 'Urn')) as k (code, says);

create table marts.bill_against_estimate as
select
    case_number, location_id, item_code || '<i>' as item_key, 'goods and services' as part, item_code, category,
    date '2026-06-01' as estimate_date, n % 2 = 0 as is_closed,
    case when reason = 'added' then null else 100 end::decimal(18, 2) as estimated_amount,
    (100 + n)::decimal(18, 2) as billed_amount,
    case when reason = 'added' then 100 + n else n end::decimal(18, 2) as difference, reason,
    case when reason = 'other price' then n else 0 end::decimal(18, 2) as price_difference
from (values
    ('AL-26-0001', 'ALDER', 'HEARSE-01', 'hearse', 'other price', 4),
    ('AL-26-0001', 'ALDER', '0042', 'other', 'added', 2),
    ('BI-26-0012', 'BIRCH', 'HEARSE-01', 'hearse', 'as estimated', 0)
) as v (case_number, location_id, item_code, category, reason, n);
create table marts.goods_on_hand as
select
    location_id, item_code, 'casket' as item_kind, description, 2::decimal(18, 4) as quantity,
    1500.25::decimal(18, 2) as first_in_amount, 1499.75::decimal(18, 2) as average_amount,
    timestamp '2026-09-01 12:00:00' as oldest_at,
    case when location_id = 'CEDAR' then 0.5 else 0 end::decimal(18, 4) as unlayered_quantity,
    case when location_id = 'CEDAR' then 0.5 else 0 end::decimal(18, 4) as uncosted_quantity,
    0::bigint as unconverted_count, 0::bigint as movements_held_back
from marts.stock_roll_forward;
create table marts.goods_journal as
select
    month_start, location_id, 'casket' as item_kind, flow_kind, debit_account, credit_account,
    2::decimal(18, 4) as quantity, amount::decimal(18, 2) as first_in_amount,
    amount::decimal(18, 2) as average_amount, 0::decimal(18, 4) as unlayered_quantity, 3::bigint as flow_count
from (values ('ALDER'), ('BIRCH'), ('CEDAR')) as l (location_id)
cross join (values
    (date '2026-09-01', 'opening', 'goods in stock', 'opening balance', 3000.50),
    (date '2026-10-01', 'received', 'goods in stock', 'goods received from suppliers', 1000),
    (date '2026-10-01', 'issued', 'cost of goods given to families', 'goods in stock', 900),
    (date '2026-11-01', 'returned', 'goods in stock', 'cost of goods given to families', 100),
    (date '2026-11-01', 'missing', 'differences of counts', 'goods in stock', 200)
) as m (month_start, flow_kind, debit_account, credit_account, amount);

create table marts.control_totals as
select
    feed, file_name, false as is_shipped, records_read, accepted as accepted_count, held_back as held_count,
    case when feed = 'statement_lines' then 123456.78 else 0 end::decimal(18, 2) as amount_accepted,
    case when feed = 'statement_lines' then 1500.25 else 0 end::decimal(18, 2) as amount_held,
    0::bigint as later_count, 0::decimal(18, 2) as amount_later
from quality.file_accounts;

create table marts.location_comparison as
select
    location_id, location_name, location_kind, time_zone, jurisdiction, false as is_held,
    case when location_kind = 'funeral_home' then 14 + slot else 0 end::bigint as case_count,
    4::bigint as open_count, 8::bigint as cremation_count, 6::bigint as burial_count,
    0::bigint as other_end_count, slot::bigint as no_end_count,
    1::bigint as held_case_count, 2::bigint as findings_critical, 3::bigint as findings_major,
    120.50::decimal(18, 2) as charges_above_list_amount
from (select *, row_number() over (order by location_id) - 1 as slot from accepted.locations);
