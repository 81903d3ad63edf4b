create table marts.case_steps as
select
    c.case_number, c.location_id, 'intact' as case_kind,
    case when i % 2 = 0 then 'cremation' else 'burial' end as disposition_kind,
    false as is_trade_call, s.step_code, s.step_name, s.number::integer as step_number, 'arranging home' as owed_by,
    c.received_at as started_at,
    case when c.is_in_care then null else c.received_at + to_minutes((s.target * 50 + i)::bigint) end as finished_at,
    case when c.is_in_care then date_diff('minute', c.received_at, timestamp '2026-11-16 12:00:00') / 60.0
        else (s.target * 50 + i) / 60.0 end::double as hours,
    case when c.is_in_care and c.case_number = 'BI-26-0011' and s.step_code = 'received_to_cared' then 'no time given'
        when c.is_in_care then 'open' else 'finished' end as step_state,
    s.target::double as target_hours,
    case when c.is_in_care then null else (s.target * 50 + i) / 60.0 <= s.target end as is_within_target,
    date '2026-11-09' as started_week,
    case when c.is_in_care then null else date '2026-11-09' end as finished_week
from (select *, substr(case_number, 7)::bigint as i from marts.custody_cases) as c
cross join (values
    ('received_to_checked', 'Received to banded and checked', 4, 2),
    ('received_to_cared', 'Received to refrigerated or embalmed', 24, 3),
    ('call_to_disposition', 'First call to final disposition', 240, 10)
) as s (step_code, step_name, target, number);

create table marts.step_accounts as
select
    coalesce(location_id, '(group)') as location_id, step_code, max(step_name) as step_name,
    max(step_number) as step_number, step_state as accounted_as, count(*) as case_count
from marts.case_steps
group by grouping sets ((location_id, step_code, step_state), (step_code, step_state));
create table marts.limits_due as
select case_number, location_id, place_id as limit_location_id, 'preservation' as limit_kind,
    received_at as started_at, 24.0::double as limit_hours, received_at + interval 24 hour as due_at,
    -100.0::double as hours_left, '25 TAC <i>181.4</i>' as citation, file_id, line
from marts.custody_cases where case_number = 'AL-26-0010';
create table marts.stuck_list as
select s.case_number, s.location_id, s.step_code, s.step_name, s.started_at, s.hours as hours_in_step, s.target_hours,
    s.hours - s.target_hours as hours_over, 3.5::double as usual_hours, s.owed_by, 3::bigint as open_step_count,
    0::bigint as untimed_step_count, s.hours + 1 as hours_since_call, c.place_id, c.last_action, c.last_at,
    l.limit_kind as next_limit_kind, l.due_at as next_limit_due_at, l.hours_left as next_limit_hours_left,
    l.citation as next_limit_citation, c.file_id, c.line
from marts.case_steps as s
inner join marts.custody_cases as c using (case_number)
left join marts.limits_due as l using (case_number)
where s.step_state = 'open' and s.step_code = 'received_to_checked'
union all by name
select case_number, 'BIRCH' as location_id, step_code, 'words' as step_name, 0::bigint as open_step_count,
    'arranging home' as owed_by
from (values ('BI-26-0012', 'to_close'), ('BI-26-0013', 'to_close'), ('BI-26-0014', 'times_missing'))
    as without_step (case_number, step_code);
create table marts.due_soon as
select 'limit' as due_kind, case_number, location_id, due_at, hours_left, '=limit <b>' || citation as detail,
    'arranging home' as owed_by, 'must not move' as clearance_state, file_id, line
from marts.limits_due
union all
select 'service', 'BI-26-0011', 'BIRCH', timestamp '2026-11-18 16:00:00', 52.0, 'funeral', 'arranging home', null, 'f-cases', 12;
create table marts.wait_split as
select location_id, 'all' as disposition_kind, 20::bigint as case_count, 100.0::double as whole_hours,
    40.0::double as paperwork_hours, 2.0::double as transport_hours, 1.0::double as preparation_hours,
    7.0::double as chamber_hours, 50.0::double as family_hours
from (select location_id from accepted.locations union all select '(group)');
create table marts.flow_checks as
select location_id, 40::bigint as stay_count, 38::bigint as arrival_count, 2.0::double as mean_people,
    0.02::double as stays_per_hour, 100.0::double as mean_stay_hours, 2.0::double as mean_people_expected,
    0.0::double as difference
from accepted.locations;
create table marts.started_turnaround as
select location_id, 'call_to_disposition' as step_code, 'First call to final disposition' as step_name,
    '13 weeks' as cohort_kind, date '2026-08-17' as cohort_start, date '2026-11-15' as cohort_end,
    20::bigint as started_count, 15::bigint as finished_count, 5::bigint as open_count, 110.0::double as median_hours,
    90.0::double as median_low_hours, case when location_id = 'ALDER' then 140.0 end::double as median_high_hours,
    95.0::double as naive_median_hours
from (select location_id from accepted.locations union all select '(group)');
create table marts.homes_against_the_rest as
select location_id, 'call_to_disposition' as step_code, 'First call to final disposition' as step_name,
    date '2026-08-17' as cohort_start, date '2026-11-15' as cohort_end, 20::bigint as started_count,
    15::bigint as finished_count, 5::bigint as open_count, 40::bigint as rest_started_count,
    30::bigint as rest_finished_count, 10::bigint as rest_open_count, 15::bigint as observed_count,
    12.5::double as expected_count, 4.0::double as variance, 1.5625::double as chi_square, 0.211::double as p_value,
    3::bigint as homes_compared_count
from accepted.locations where location_kind = 'funeral_home';
create table marts.home_shares as
select measure, location_id, n::bigint as case_count, k::bigint as event_count, k::double / n as share,
    sum(k) over (partition by measure)::double / sum(n) over (partition by measure) as group_share,
    7::bigint as judged_count
from (values ('within target', 'ALDER', 60, 57), ('within target', 'BIRCH', 50, 20), ('within target', 'CEDAR', 40, 38),
    ('custody fault', 'ALDER', 60, 1), ('custody fault', 'BIRCH', 50, 2), ('custody fault', 'CEDAR', 8, 0),
    ('record held back', 'ALDER', 60, 0), ('record held back', 'BIRCH', 50, 0), ('record held back', 'CEDAR', 8, 0)
) as v (measure, location_id, n, k);
create table marts.home_medians as
select
    location_id, case_count, case when n > 9 then 96.5 + slot end::double as median_hours,
    case when n > 9 then 150.0 + slot end::double as p90_hours, case when n > 9 then 90.0 end::double as usual_low_hours,
    case when n > 9 then 104.0 end::double as usual_high_hours,
    case when n > 9 then 'within what chance gives' else 'too few to judge' end as verdict
from (values ('ALDER', 20, 20::bigint, 0), ('BIRCH', 20, 20::bigint, 1), ('CEDAR', 9, 9::bigint, 2))
    as v (location_id, n, case_count, slot);
create table marts.like_with_like as
select location_id, event_count as within_target_count, case_count, share as crude_share, share * 0.98 as standardised_share,
    0.03::double as standard_error, 0.97::double as covered_share, 6::bigint as stratum_count
from marts.home_shares where measure = 'within target';

create table marts.weekly_turnaround as
with weeks as (
    select w, (date '2026-05-18' + to_days(7 * w::integer))::date as week_start from range(0, 27) as r (w)
)
select
    l.location_id, s.step_code, s.step_name, week_start, strftime(week_start, '%G-W%V') as week_label,
    case when l.location_id = '(group)' then 14 + w % 5 else 4 + w % 3 end::bigint as finished_count,
    case when l.location_id = '(group)' and w <> 9 then s.base + (w * 7) % 11 end::double as median_hours,
    case when l.location_id = '(group)' and w <> 9 then s.base * 1.6 + (w * 5) % 13 end::double as p90_hours,
    case when l.location_id = '(group)' then 11 + w % 4 else 3 end::bigint as within_target_count,
    case when l.location_id = '(group)' and w <> 9 then (11 + w % 4) / (14.0 + w % 5) end::double as within_target_share,
    week_start < date '2026-11-16' as is_complete_week
from weeks
cross join (values ('ALDER'), ('BIRCH'), ('CEDAR'), ('(group)')) as l (location_id)
cross join (values
    ('received_to_checked', 'Received to banded and checked', 2),
    ('received_to_cared', 'Received to refrigerated or embalmed', 12),
    ('call_to_disposition', 'First call to final disposition', 96)
) as s (step_code, step_name, base);
create table marts.weekly_figures as
select
    location_id, measure, step_code, week_start, week_label, figure, finished_count as case_count,
    (25 - w)::integer as weeks_ago, w between 13 and 25 as is_judged
from (
    select
        t.location_id, m.measure, t.step_code, t.week_start, t.week_label, t.finished_count,
        case when m.measure = 'median hours' then t.median_hours else t.finished_count end as figure,
        (t.week_start - date '2026-05-18') // 7 as w
    from marts.weekly_turnaround as t
    cross join (values ('median hours'), ('cases called'), ('cases finished')) as m (measure)
    where m.measure = 'median hours' or t.step_code = 'call_to_disposition'
);
create table marts.usual_ranges as
select
    location_id, measure, step_code, max(case when weeks_ago = 0 then figure end) as last_figure,
    max(case when weeks_ago = 0 then case_count end) as last_case_count,
    avg(figure) filter (where is_judged) as recent_mean, count(figure) filter (where is_judged) as week_count,
    count(figure) filter (where weeks_ago > 12) as earlier_week_count,
    case when count(figure) > 0 then avg(figure) end as usual_centre,
    case when count(figure) > 0 then greatest(avg(figure) - 9, 0) end as usual_low,
    case when count(figure) > 0 then avg(figure) + 9 end as usual_high,
    case when location_id = 'BIRCH' then 1 else 0 end::bigint as outside_count, 3::bigint as longest_run,
    5::bigint as crossing_count,
    case when location_id = 'BIRCH' then '1 of 13 weeks outside the limits' end as signal,
    case when count(figure) = 0 then 'too few weeks' when location_id = 'BIRCH' then 'signal' else 'as usual' end as verdict
from marts.weekly_figures
group by location_id, measure, step_code;


create table marts.chemical_use_by_case as
select
    case_number, 'CARE' as location_id, case when i % 4 = 0 then 'autopsied' else 'intact' end as case_kind,
    date '2026-11-09' as week_start, '2026-W46' as week_label, true as is_embalmed,
    (800 + i * 10)::double as concentrate_ml, (200 + i)::double as formaldehyde_g,
    11000.0::double as mixed_volume_ml, ((200 + i) / 110.0)::double as strength_g_per_100ml,
    0::bigint as movements_not_counted
from (select *, substr(case_number, 7)::bigint as i from marts.custody_cases)
where i <= 6;

create table marts.chemical_use_by_week as
select
    'CARE' as location_id, week_start, strftime(week_start, '%G-W%V') as week_label,
    (8 + w % 4)::bigint as embalmings_intact, (w % 3)::bigint as embalmings_autopsied,
    (2000 + 40 * w)::double as formaldehyde_g, (1700 + 40 * w)::double as formaldehyde_g_intact,
    (w % 3 * 300)::double as formaldehyde_g_autopsied,
    case when w = 12 then 80 else 0 end::double as formaldehyde_g_without_case,
    ((1700 + 40 * w) / (8.0 + w % 4))::double as g_per_intact,
    case when w % 3 > 0 then 300 end::double as g_per_autopsied,
    0::double as formaldehyde_g_other_case, case when w = 25 then 2 else 0 end::bigint as movements_held_back,
    case when w = 24 then 1 else 0 end::bigint as movements_not_counted
from (select w, (date '2026-05-18' + to_days(7 * w::integer))::date as week_start from range(0, 26) as r (w));

create table marts.air_samples (
    sample_id varchar, location_id varchar, started_at timestamp, minutes double,
    formaldehyde_ppm double, sample_kind varchar, twa_8h_ppm double, limit_kind varchar,
    limit_ppm double, is_over boolean
);
create table marts.figure_changes as
select location_id, 'call_to_disposition' as step_code, date '2026-11-02' as week_start, 9::bigint as was_finished_count,
    10::bigint as finished_count, null::double as was_median_hours, 101.5::double as median_hours,
    'newer records of AL-26-0001 <b>' as why, timestamp '2026-11-09 12:00:00' as printed_at
from (select '(group)' as location_id union all select 'ALDER');
-- CEDAR began too few for a curve.
update marts.started_turnaround set started_count = 8, finished_count = 3, median_hours = null, median_low_hours = null
where location_id = 'CEDAR';
create table marts.waiting_curves as
select location_id, 'call_to_disposition' as step_code, n * 12.0::double as hours, 20 - n::bigint as at_risk_count,
    n::bigint as finished_count, 1 - n / 25.0::double as still_open_share,
    case when n > 0 then 0.9 - n / 20.0 end::double as still_open_low_share,
    case when n > 0 then 1 - n / 40.0 end::double as still_open_high_share
from range(0, 11) as r (n)
cross join (values ('ALDER'), ('BIRCH'), ('(group)')) as l (location_id);
