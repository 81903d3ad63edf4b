-- What was read and what the rules said. Counts are chosen so that a title can be checked by hand.
create schema raw;
create schema quality;
create schema marts;
create table raw.files (
    file_id varchar, file_name varchar, feed varchar, sha256 varchar, bytes bigint,
    exported_at timestamp, loaded_at timestamp, arrival varchar
);
insert into raw.files
select
    'f-' || feed, feed || '-2026-11-16.csv', feed, md5(feed), 1000,
    timestamp '2026-11-16 06:00:00', timestamp '2026-11-16 12:00:00', 'new'
from (values ('locations'), ('cases'), ('custody_events'), ('supply_items'), ('supply_movements'),
    ('price_lists'), ('statement_lines'), ('supplier_bill_lines')) as feeds (feed);
-- air_samples did not arrive: a feed whose absence must be said, not shown as zero.

create table quality.file_accounts (
    file_id varchar, file_name varchar, feed varchar, total_lines bigint, header_lines bigint,
    blank_lines bigint, record_lines bigint, unreadable_lines bigint, records_read bigint,
    accepted bigint, held_back bigint, repeated bigint, replaced bigint, unreadable bigint,
    loaded_at timestamp
);
insert into quality.file_accounts
select file_id, file_name, feed, 102, 1, 1, 100, 0, 100, 95, 4, 1, 0, 0, loaded_at from raw.files;

create table quality.rejects (
    feed varchar, rule_code varchar, file_id varchar, line bigint, record_key varchar,
    case_number varchar, column_name varchar, value varchar, detail varchar
);
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

create table quality.notes as select * from quality.rejects where false;
insert into quality.notes values
    ('cases', 'repeated_record', 'f-cases', 40, 'AL-26-0004', 'AL-26-0004', '', '', 'line 39 is the same');

create table quality.rules (
    rule_code varchar, family varchar, severity varchar, effect varchar, says varchar,
    mend varchar, mended_by varchar, act_within varchar, source varchar, citation varchar,
    twin varchar, model varchar
);
insert into quality.rules
select
    code, family, severity, effect, 'What it says: ' || code || '.', 'How to mend ' || code || '.',
    'arranging home',
    case severity when 'critical' then 'now' when 'major' then 'same day'
        when 'minor' then 'the week' else 'none' end,
    'common practice, no source', '', 'The same record, right.',
    case effect when 'reported' then 'finding_' || code end
from (values
    ('control_character', 'parse', 'minor', 'held_back'),
    ('placeholder_name', 'contract', 'critical', 'held_back'),
    ('not_money', 'parse', 'major', 'held_back'),
    ('not_a_date', 'parse', 'minor', 'held_back'),
    ('chain_party_break', 'chain', 'critical', 'held_back'),
    ('chain_held', 'chain', 'info', 'held_back'),
    ('permit_missing', 'papers', 'critical', 'reported'),
    ('permit_late', 'papers', 'major', 'reported'),
    ('storage_shared', 'place', 'critical', 'reported'),
    ('sample_over_limit', 'chemicals', 'critical', 'reported'),
    ('charge_above_list', 'prices', 'major', 'reported'),
    ('billed_not_issued', 'merchandise', 'major', 'reported'),
    ('few_identifiers_at_release', 'identity', 'minor', 'reported'),
    ('certificate_filed_late', 'papers', 'info', 'reported'),
    ('repeated_record', 'parse', 'info', 'reported')
) as rules (code, family, severity, effect);

create table quality.rule_needs (rule_code varchar, feed varchar, column_name varchar, is_available boolean);
insert into quality.rule_needs values
    ('permit_missing', 'cases', 'permit_issued_at', true),
    ('sample_over_limit', 'air_samples', 'formaldehyde_ppm', false);

create view quality.rejects_explained as
select r.*, q.severity, q.says, q.mend, q.mended_by, f.file_name
from quality.rejects as r
left join quality.rules as q using (rule_code)
left join raw.files as f using (file_id);
create view quality.notes_explained as
select r.*, q.severity, q.says, q.mend, q.mended_by, f.file_name
from quality.notes as r
left join quality.rules as q using (rule_code)
left join raw.files as f using (file_id);

create table marts.rule_states as
select
    rule_code, family, severity, effect,
    case rule_code when 'sample_over_limit' then 'not checked'
        when 'certificate_filed_late' then 'not applicable'
        when 'few_identifiers_at_release' then 'passed' else 'found' end as state,
    case when rule_code in ('sample_over_limit', 'certificate_filed_late', 'few_identifiers_at_release')
        then 0 when rule_code = 'permit_missing' then 2 else 1 end::bigint as found_count,
    case rule_code when 'sample_over_limit' then 'no file of air_samples arrived' end as why
from quality.rules;

create table marts.held_back as
select feed, rule_code, severity, file_name, count(*)::bigint as record_count
from quality.rejects_explained
group by all;
