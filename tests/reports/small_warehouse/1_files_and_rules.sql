-- What was read and what the rules said. Counts are chosen so that a title can be checked by hand.
insert into raw.files (file_id, file_name, feed, sha256, bytes, exported_at, loaded_at, arrival,
    total_lines, header_lines, blank_lines, record_lines, unreadable_lines, records_read)
select
    'f-' || feed, feed || '-2026-11-16.csv', feed, md5(feed), 1000,
    timestamp '2026-11-16 06:00:00', timestamp '2026-11-16 12:00:00', row_number() over (order by feed),
    102, 1, 1, 100, 0, 100
from (values ('locations'), ('cases'), ('custody_events'), ('supply_items'), ('supply_movements'),
    ('price_lists'), ('statement_lines'), ('supplier_bill_lines')) as feeds (feed);
insert into raw.files (file_id, file_name, feed, loaded_at, arrival, records_read, set_aside) values
    ('f-aside', 'cases_old<br>.csv', 'cases', timestamp '2026-11-16 12:00:00', 99, 0,
        'Two headings are alike: "sex" and "Sex".');
-- air_samples did not arrive: a feed whose absence must be said, not shown as zero.

create table quality.file_accounts as
select
    file_id, file_name, feed, total_lines, header_lines, blank_lines, record_lines, unreadable_lines,
    records_read, case when set_aside is null then 95 else 0 end::bigint as accepted,
    case when set_aside is null then 4 else 0 end::bigint as held_back,
    case when set_aside is null then 1 else 0 end::bigint as repeated, 0::bigint as replaced, 0::bigint as vanished,
    0::bigint as unreadable, loaded_at, exported_at, set_aside
from raw.files;

insert into quality.rejects values
    ('cases', 'control_character', 'f-cases', 7, 'AL-26-0007', 'AL-26-0007', 'family_name',
        'Ro' || chr(8238) || 'nat', 'a direction mark stands in the name'),
    ('cases', 'placeholder_name', 'f-cases', 9, 'AL-26-0009', 'AL-26-0009', 'family_name',
        'Doe', 'a placeholder stands for a name'),
    ('statement_lines', 'not_money', 'f-statement_lines', 12, 'AL-26-0001-I;3', 'AL-26-0001',
        'unit_price', '=HYPERLINK("http://x.example","y")', 'not an amount'),
    ('statement_lines', 'not_a_date', 'f-statement_lines', 13, '@SUM(A1)', 'AL-26-0001',
        'document_date', '<script>alert(1)</script>', 'not a date'),
    ('custody_events', 'chain_party_break', 'f-custody_events', 30, 'EV-30', 'AL-26-0003',
        'from_party', 'CARE', 'line 29 left the person with ALDER, line 30 says CARE'),
    ('custody_events', 'chain_held', 'f-custody_events', 31, 'EV-31', 'AL-26-0003', '', '',
        'custody_events-2026-11-16.csv line 30 breaks the chain');

insert into quality.notes values
    ('cases', 'few_identifiers_at_release', 'f-cases', 40, 'AL-26-0004', 'AL-26-0004', '', '', 'line 39 is the same');

-- The rules are the real catalogue; two could not be checked, for the reason given.
create table marts.rule_states as
select
    rule_code, family, severity, effect,
    case when rule_code in ('sample_over_limit', 'sample_overdue') then 'not checked'
        when rule_code = 'certificate_filed_late' then 'not applicable'
        when rule_code in ('permit_missing', 'permit_late', 'storage_shared', 'charge_above_list',
            'billed_not_issued', 'not_money', 'not_a_date', 'control_character', 'placeholder_name',
            'chain_party_break', 'chain_held') then 'found'
        else 'passed' end as state,
    case when rule_code = 'permit_missing' then 2
        when rule_code in ('permit_late', 'storage_shared', 'charge_above_list', 'billed_not_issued',
            'not_money', 'not_a_date', 'control_character', 'placeholder_name', 'chain_party_break',
            'chain_held') then 1 else 0 end::bigint as found_count,
    case when rule_code in ('sample_over_limit', 'sample_overdue') then 'no file of air_samples arrived'
        end as why
from quality.rules;

create table marts.held_back as
select feed, rule_code, severity, file_name, count(*)::bigint as record_count
from quality.rejects_explained
group by all;

create table marts.held_back_records as
select case when feed = 'statement_lines' then null when case_number = 'AL-26-0003' then 'ALDER' else 'CEDAR' end as location_id,
    mended_by, rule_code, severity, feed, file_id, file_name, line, case_number, record_key, column_name, value, detail, mend,
    'same day' as act_within
from quality.rejects_explained;

create table marts.held_back_to_mend as
select location_id, case_number, severity, rule_code as rule_codes, file_name || ' line ' || line as records,
    column_name || ': ' || value as values_found, detail, mend, mended_by,
    (rule_code = 'chain_party_break')::bigint as waiting_count,
    1 + (rule_code = 'chain_party_break')::bigint as record_count
from marts.held_back_records
where rule_code <> 'chain_held';
