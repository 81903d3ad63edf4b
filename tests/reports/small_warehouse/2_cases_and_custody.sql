-- Forty cases of three homes, deterministic: case i of home h was called i days after 20 July 2026.
-- AL-26-0001 has names that try to run, to reverse the reading and to look like a formula.
insert into accepted.locations (location_id, location_name, location_kind, time_zone, jurisdiction,
    address, telephone)
values
    ('ALDER', 'Alder Street Home', 'funeral_home', 'America/Chicago', 'US-TX', '1 Alder Street', '555-0101'),
    ('BIRCH', 'Birch Hill Home', 'funeral_home', 'America/Chicago', 'US-TX', '2 Birch Hill', '555-0102'),
    ('CARE', 'Shared Care Centre', 'care_centre', 'America/Chicago', 'US-TX', '3 Care Way', '555-0103'),
    ('CEDAR', 'Cedar Row <b>Home</b>', 'funeral_home', 'America/Denver', 'US-CO', '4 Cedar Row', '555-0104'),
    ('CREM', 'Group Crematory', 'crematory', 'America/Chicago', 'US-TX', '5 Crem Road', '555-0105');

create table marts.custody_cases as
select
    code || '-26-' || lpad(i::varchar, 4, '0') as case_number,
    home as location_id,
    case when home = 'ALDER' and i = 1 then '<img src=x onerror=alert(1)>'
        when home = 'ALDER' and i = 2 then '=cmd|'' /C calc''!A1'
        when home = 'ALDER' and i = 3 then 'Ro' || chr(8238) || 'nat'
        when i % 5 = 0 then 'Zoë O''Hara-Łuk' else 'Testfamily' || i end as family_name,
    case when home = 'ALDER' and i = 1 then '"><script>alert(2)</script>' else 'Testgiven' || i end as given_name,
    false as is_unidentified,
    case when i in (1, 4) then '=KIN(); <b>kin</b>' end as remains_receivers,
    case when home = 'ALDER' and i = 3 then 'not proven'
        when home = 'CEDAR' and i = 12 then 'no events' else 'proven' end as custody_status,
    case when home = 'ALDER' and i = 3 then 'broken chain' end as held_kind,
    i > 9 or (home = 'ALDER' and i = 3) as is_in_care,
    case when i % 3 = 0 then home else 'CARE' end as party_id,
    case when i % 3 = 0 then home else 'CARE' end as place_id,
    'cooler-1/' || i as storage_unit,
    'stored' as last_action,
    timestamp '2026-11-10 18:00:00' + to_hours(i) as last_at,
    date_diff('minute', timestamp '2026-11-10 18:00:00' + to_hours(i), timestamp '2026-11-16 12:00:00') / 60.0
        as hours_since_last,
    timestamp '2026-11-09 15:00:00' + to_hours(i) as received_at,
    case when i > 9 then null when i in (4, 5) then 'cremation_finished' else 'buried' end as final_action,
    case when i > 9 then null else timestamp '2026-11-12 15:00:00' end as final_at,
    timestamp '2026-11-09 14:00:00' as first_call_at, date '2026-11-09' as called_week,
    'f-cases' as file_id,
    (i + 1)::bigint as line
from range(1, 15) as r (i)
cross join (values ('ALDER', 'AL'), ('BIRCH', 'BI'), ('CEDAR', 'CE')) as homes (home, code)
where i < 13 or home <> 'CEDAR';

create table marts.custody_legs as
select
    c.case_number, leg::bigint as leg_number,
    case leg when 2 then 'CARE' else c.location_id end as party_id,
    case leg when 1 then 'vehicle:V1' when 2 then 'CARE' else c.location_id end as place_id,
    case leg when 2 then 'cooler-1/4' end as storage_unit,
    case leg when 1 then 'received' else 'transferred' end as started_action,
    c.received_at + to_hours(leg * 10 - 10) as started_at,
    c.received_at + to_hours(leg * 10 - 16) as started_at_local,
    case when leg < 3 then 'transferred' end as ended_action,
    case when leg < 3 then c.received_at + to_hours(leg * 10) end as ended_at,
    null::varchar as released_to, null::varchar as release_handover,
    case when leg < 3 then 600.0 end::double as minutes,
    case leg when 1 then 'both' when 2 then 'one' else 'none' end as handover,
    c.custody_status = 'proven' as is_proven,
    'EV-' || leg as started_event_id, 'f-custody_events' as started_file_id, (leg + 1)::bigint as started_line,
    case when leg < 3 then 'EV-' || (leg + 1) end as ended_event_id,
    case when leg < 3 then 'f-custody_events' end as ended_file_id,
    case when leg < 3 then leg + 2 end::bigint as ended_line
from marts.custody_cases as c
cross join range(1, 4) as legs (leg)
where c.custody_status <> 'no events';

create table marts.custody_gaps (
    case_number varchar, gap_number bigint, gap_kind varchar, event_id_before varchar,
    file_id_before varchar, line_before bigint, event_id_after varchar, file_id_after varchar,
    line_after bigint, party_expected varchar, party_found varchar, place_expected varchar,
    place_found varchar, band_expected varchar, band_found varchar, minutes double, occurred_at timestamp
);
insert into marts.custody_gaps values ('AL-26-0003', 1, 'party', 'EV-29', 'f-custody_events', 29,
    'EV-30', 'f-custody_events', 30, 'ALDER', 'CARE', null, null, null, null, 125, timestamp '2026-11-10 17:05:00');

create table marts.weekly_flow as
select
    l.location_id, week_start, strftime(week_start, '%G-W%V') as week_label,
    (10 + w)::bigint as opening_count, 4::bigint as in_count, 3::bigint as out_count,
    (11 + w)::bigint as closing_count,
    case when l.location_id = 'ALDER' then 1 else 0 end::bigint as not_proven_count
from accepted.locations as l
cross join (select w, (date '2026-05-18' + to_days(7 * w::integer))::date as week_start from range(0, 27) as r (w));

create table marts.findings (
    finding_key varchar, rule_code varchar, family varchar, severity varchar, case_number varchar,
    location_id varchar, occurred_at timestamp, measured_value double, limit_value double,
    value_unit varchar, detail varchar, feed_a varchar, file_name_a varchar, line_a bigint,
    feed_b varchar, file_name_b varchar, line_b bigint, says varchar, mend varchar,
    mended_by varchar, act_within varchar, source varchar
);
insert into marts.findings
select
    md5(rule_code || case_number), rule_code, family, severity, case_number, location_id, occurred_at,
    measured, limited, unit, detail, 'cases', 'cases-2026-11-16.csv', line, null, null, null,
    says, mend, mended_by, act_within, source
from (values
    ('permit_missing', 'AL-26-0001', 'ALDER', timestamp '2026-11-14 15:00:00', null, null, null,
        'cremation_started at 2026-11-14T09:00-06:00, no permit', 2),
    ('permit_missing', 'BI-26-0002', 'BIRCH', timestamp '2026-11-10 15:00:00', null, null, null,
        '=1+1 looks like a formula', 3),
    ('permit_late', 'CE-26-0003', 'CEDAR', timestamp '2026-11-11 15:00:00', 30.0, 0.0, 'minutes',
        '<script>alert(3)</script>', 4),
    ('storage_shared', 'AL-26-0010', 'CARE', timestamp '2026-11-13 15:00:00', 2.0, 1.0, 'people', 'cooler-1/4', 5),
    ('charge_above_list', 'AL-26-0004', 'ALDER', timestamp '2026-11-12 15:00:00', 120.5, 100.0, 'USD', 'line 7', 6),
    ('billed_not_issued', 'BI-26-0005', 'BIRCH', timestamp '2026-11-12 15:00:00', 1.0, 0.0, 'each', 'casket', 7)
) as f (code, case_number, location_id, occurred_at, measured, limited, unit, detail, line)
inner join quality.rules as q on q.rule_code = f.code;
alter table marts.findings add column file_id_a varchar default 'f-cases';
alter table marts.findings add column file_id_b varchar;
alter table marts.findings add column finding_number bigint;
alter table marts.findings add column other_case_number varchar;
alter table marts.findings add column person_place_id varchar;
alter table marts.findings add column other_person_place_id varchar;
update marts.findings set person_place_id = 'CARE' where case_number = 'AL-26-0010';
update marts.findings set person_place_id = 'CARE' where case_number = 'BI-26-0002';
alter table marts.findings add column first_seen_at timestamp default timestamp '2026-11-16 12:00:00';
alter table marts.findings add column answer_state varchar default 'open';
alter table marts.findings add column decision varchar;
alter table marts.findings add column decided_by varchar;
alter table marts.findings add column decision_reason varchar;
alter table marts.findings add column answer_expires_on date;
create view marts.finding_people as
select finding_key, finding_number, rule_code, family, severity, answer_state, case_number, person_place_id as place_id
from marts.findings where case_number is not null;
update marts.findings set finding_number = line_a - 1;
update marts.findings set answer_state = 'answer expired', decision = 'accepted', decided_by = '<b>officer</b>',
    decision_reason = '=cmd()', answer_expires_on = date '2026-11-15', first_seen_at = timestamp '2026-11-09 12:00:00'
where finding_number = 5;
create table marts.finding_changes as
select finding_number, case when finding_number < 5 then 'new' else 'came back' end as change_kind, rule_code, severity,
    case_number, location_id, occurred_at, detail, first_seen_at, null::varchar as closed_by
from marts.findings where finding_number < 6
union all
select 7, 'closed', 'permit_late', 'major', 'AL-26-0003', 'ALDER', timestamp '2026-11-01 15:00:00', 'late by 20 minutes',
    timestamp '2026-11-09 12:00:00', 'cases-2026-11-16.csv line 4 (permit_issued_at)';
create table marts.finding_answers as
select finding_number, answer_state, rule_code, case_number, decision, decided_by, date '2026-11-09' as decided_on,
    decision_reason as reason, answer_expires_on as expires_on, 'f-answers' as file_id, 2::bigint as line
from marts.findings where decision is not null;

create table marts.census as
select case_number, location_id, family_name, given_name, is_unidentified, party_id, place_id, storage_unit,
    received_at as in_care_since, hours_since_last + 20 as hours_in_care, received_at + interval 2 hour as here_since,
    last_action as seen_action, last_at as seen_at, hours_since_last as hours_since_seen,
    case when custody_status = 'not proven' then 'contradicted' else 'proven' end as certainty,
    case when custody_status = 'not proven' then 'Seen in the count of <b>BIRCH</b>, which is not where the record says.' end as why,
    'f-custody_events' as file_id, line
from marts.custody_cases where is_in_care;
create table marts.clearances as
select case_number, location_id, place_id, storage_unit, family_name, given_name, is_unidentified, certainty,
    'cremation' as disposition_kind, case when location_id <> 'BIRCH' then 'crematory:=NAMED' end as named_receiver,
    case when certainty <> 'proven' then 'must not move'
        when location_id = 'BIRCH' then 'papers outstanding' else 'no objection on record' end as clearance_state,
    case when certainty <> 'proven' then 'custody contradicted: ' || why end as against,
    case when location_id = 'BIRCH' then 'permit outstanding' end as outstanding,
    case when location_id = 'BIRCH' then timestamp '2026-11-17 15:00:00' end as earliest_cremation_at,
    hours_in_care, file_id, line
from marts.census;
create table marts.remains_in_keeping as
select case_number, location_id, family_name, given_name, is_unidentified, 'CARE' as place_id,
    case when location_id = 'ALDER' then '=SHELF-1' end as storage_unit, 'CARE' as party_id, '<i>D-1</i>' as disc_number,
    case when location_id = 'ALDER' then 2::double end as packed_count,
    case when location_id = 'ALDER' then 1::double end as left_count,
    case when location_id = 'ALDER' then '=HOLD-1' end as hold_event_id,
    'cremate_collect' as disposition_instruction, remains_receivers,
    'open' as case_status, custody_status, final_action as came_by,
    final_at as came_at, date_diff('minute', final_at, timestamp '2026-11-16 12:00:00') / 1440.0 as days_in_keeping,
    2880.0::double as limit_hours, final_at + interval 120 day as unclaimed_at,
    120 - date_diff('minute', final_at, timestamp '2026-11-16 12:00:00') / 1440.0 as days_left,
    '=T' as citation, 'f-custody_events' as file_id, line
from marts.custody_cases where final_action like 'cremation%';
create table marts.physical_counts as
select 'CARE' as location_id, '=SHEET-1' as document_number, timestamp '2026-11-16 02:00:00' as counted_at,
    10::bigint as recorded_count, 10::bigint as seen_count, 9::bigint as agreeing_count, 0::bigint as other_unit_count,
    1::bigint as missed_count, 0::bigint as elsewhere_count, 1::bigint as unknown_count, 0.4::double as days_ago;
create table marts.place_hours as
select l.location_id, timestamp '2026-11-15 13:00:00' + to_hours(h::integer) as hour_start,
    (5 + h % 7)::bigint as peak_count, 1::bigint as not_proven_count,
    case when l.location_id <> 'BIRCH' then 9::bigint end as capacity, coalesce(5 + h % 7 > 9, false) as is_over
from accepted.locations as l cross join range(0, 24) as hours (h);
create table marts.custody_line as
select l.case_number, l.leg_number::integer as event_number, l.started_event_id as event_id, l.started_action as action,
    l.started_at as occurred_at, l.started_at_local as occurred_at_local, l.minutes as minutes_since,
    lag(l.party_id) over (partition by l.case_number order by l.leg_number) as from_party, l.party_id as to_party, l.party_id,
    l.place_id, l.storage_unit, '=who()' as released_by, case when l.handover = 'both' then '<i>desk</i>' end as received_by,
    'AL-S1' as performed_by, null::varchar as second_checker, 'B-1' as band_number, 3::bigint as identifiers_matched,
    'D-1' as document_number, null::varchar as disc_number, null::bigint as item_count, null::varchar as corrects_event_id,
    case when l.case_number = 'AL-26-0003' and l.leg_number = 2 then 'party' end as break_kind, l.is_proven,
    l.started_file_id as file_id, l.started_line as line
from marts.custody_legs as l;
create table marts.case_papers as
select case_number, 'permit' as paper, case when final_at is null then 'outstanding' else 'late' end as paper_state,
    case when final_at is not null then final_at + interval 30 minute end as paper_at,
    case when final_at is not null then final_at::date end as paper_date,
    case when final_at is not null then 'buried' end as action, case when final_at is not null then 'EV-9' end as event_id,
    final_at as occurred_at, case when final_at is not null then -30.0 end::double as minutes_before,
    file_id as case_file_id, line as case_line, case when final_at is not null then 'f-custody_events' end as act_file_id,
    case when final_at is not null then 9::bigint end as act_line
from marts.custody_cases;
-- At the end of week w, 11 + w people are at each place: ten from before, and one more each week.
create table marts.place_stays as
select printf('%s-26-%04d', l.location_id[:2], k) as case_number, l.location_id,
    timestamp '2026-05-18 12:00:00' + to_days(7 * greatest(k - 11, 0)::integer) as in_at, null::timestamp as out_at,
    (date '2026-05-18' + to_days(7 * greatest(k - 11, 0)::integer))::date as in_week, null::date as out_week,
    true as is_proven, 'f-custody_events' as file_id, (k + 1)::bigint as line
from accepted.locations as l cross join range(1, 38) as r (k);
