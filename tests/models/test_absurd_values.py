"""One absurd record must not end the run: the models build and their invariants hold.

Every value here passes the reader (a year of four digits, a whole number, a decimal of four
places); none is likely.
"""

from collections.abc import Iterator
from pathlib import Path

import duckdb
import pytest

from tests.models.conftest import EmptyBuild
from tests.models.project import make_empty_warehouse, run_dbt

_MOST = "99999999999999.9999"
_RECORDS = f"""
insert into accepted.locations by name
select 'CARE' as location_id, 'care_centre' as location_kind, 'America/Chicago' as time_zone,
    'US-TX' as jurisdiction, 9223372036854775807 as capacity, 'l' as file_id, 2 as line;

insert into accepted.jurisdiction_limits by name
select 'US-TX' as jurisdiction, kind as limit_kind, 'death' as starts_at, {_MOST} as hours,
    {_MOST} as cremated_within_hours,
    'none' as citation, 'j' as file_id, 2 as line
from (values ('preservation'), ('cremation_wait'), ('certificate_filing'), ('unclaimed_remains'))
    as kinds (kind);

insert into accepted.cases by name
select 'OLD' as case_number, 'CARE' as location_id, 'open' as case_status,
    date '0001-01-01' as date_of_death_earliest, date '9999-12-31' as date_of_death_latest,
    '99:99' as time_of_death, timestamp '0001-01-01 00:00:00' as first_call_at,
    date '0001-01-01' as date_of_birth_earliest, {_MOST} as remains_mass_g,
    0.0001 as body_weight_kg, date '9999-12-31' as permit_issued_date, 'c' as file_id, 2 as line
union all
select 'NEW', 'NOWHERE', 'open', date '9999-12-31', date '9999-12-31', '23:59',
    timestamp '9999-12-31 23:59:00', date '9999-12-31', 0, 0, date '0001-01-01', 'c', 3;

insert into accepted.custody_events by name
select * from (values
    ('OLD', 'E1', timestamp '0001-01-01 00:00:00', 'received', 'CARE', 'CARE', null, null, 2),
    ('OLD', 'E2', timestamp '0001-01-01 00:00:00', 'stored', null, 'CARE', 'U', null, 3),
    ('OLD', 'E3', timestamp '9999-12-31 23:59:00', 'released', 'family:F', null, null, null, 4),
    ('OLD', 'E4', timestamp '9999-12-31 23:59:30', 'remains_packed', null, null, null,
     9223372036854775807, 5),
    ('OLD', 'E5', timestamp '9999-12-31 23:59:40', 'remains_packed', null, null, null,
     9223372036854775807, 6),
    ('OLD', 'E6', timestamp '9999-12-31 23:59:50', 'remains_released', null, null, null, 1, 7),
    ('NEW', 'F1', timestamp '2026-11-01 06:30:00', 'received', 'CARE', 'CARE', null, null, 8),
    ('NEW', 'F2', timestamp '2026-11-01 06:31:00', 'cremation_finished', null, null, null, null, 9),
    ('NEW', 'F3', timestamp '2026-11-01 06:32:00', 'remains_packed', null, null, null,
     9223372036854775807, 10),
    ('NEW', 'F4', timestamp '2026-11-01 06:33:00', 'remains_packed', null, null, null,
     9223372036854775807, 11)
) as listed (case_number, event_id, occurred_at, action, to_party, place_id, storage_unit,
    item_count, line);
update accepted.custody_events set file_id = 'e', occurred_at_local = occurred_at,
    from_party = case when action = 'released' then 'CARE' end, disc_number = 'D';

insert into accepted.statement_lines by name
select document_number, 1 as line_number, 'invoice' as document_kind, 'OLD' as case_number,
    'CARE' as location_id, date '9999-12-31' as document_date, 'other' as category,
    'x' as description, 1 as quantity, 9999999999999999.99 as line_total, 's' as file_id, line
from (values ('D1', 2), ('D2', 3)) as documents (document_number, line);

insert into quality.file_accounts by name
select file_id, file_id || '.csv' as file_name, feed, records as records_read,
    records as accepted, 0 as held_back, 0 as repeated, 0 as replaced, 0 as vanished,
    0 as unreadable,
    records + 1 as total_lines, 1 as header_lines, 0 as blank_lines, records as record_lines,
    0 as unreadable_lines
from (values ('l', 'locations', 1), ('c', 'cases', 2), ('e', 'custody_events', 10),
    ('s', 'statement_lines', 2)) as files (file_id, feed, records);
"""


@pytest.fixture(scope="module")
def con(
    empty_build: EmptyBuild, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[duckdb.DuckDBPyConnection]:
    """The absurd warehouse after a build; raises if a model or a data test failed."""
    # The same file name: the parsed project holds the catalogue's name, which is the file's.
    warehouse: Path = tmp_path_factory.mktemp("absurd") / empty_build.warehouse.name
    make_empty_warehouse(warehouse)
    with duckdb.connect(str(warehouse)) as loading:
        loading.execute(_RECORDS)
    results = run_dbt(
        warehouse,
        ["build", "--exclude-resource-type", "unit_test", "exposure"],
        empty_build.parsed,
    )
    failed = {r.node.name: r.message for r in results if r.status not in {"success", "pass"}}
    assert failed == {}
    with duckdb.connect(str(warehouse), read_only=True) as connection:
        yield connection


def test_weeks_of_flow_stay_within_ten_years(con: duckdb.DuckDBPyConnection) -> None:
    weeks, opening = con.execute(
        "select count(*), min(opening_count) from marts.weekly_flow"
    ).fetchall()[0]
    assert (weeks, opening) == (520, 1)


def test_amounts_beyond_the_money_type_are_still_added(con: duckdb.DuckDBPyConnection) -> None:
    total = con.execute(
        "select amount_accepted from marts.control_totals where feed = 'statement_lines'"
    ).fetchall()[0][0]
    assert str(total) == "19999999999999999.98"


def test_an_absurd_limit_is_a_limit_that_is_never_reached(con: duckdb.DuckDBPyConnection) -> None:
    late = con.execute(
        "select count(*) from findings.all_findings "
        "where rule_code in ('certificate_filed_late', 'remains_unclaimed')"
    ).fetchall()
    assert late == [(0,)]


def test_absurd_figures_are_found_and_told(con: duckdb.DuckDBPyConnection) -> None:
    told = con.execute(
        "select detail from findings.all_findings where rule_code = 'remains_mass_unusual' "
        "and case_number = 'OLD'"
    ).fetchall()
    assert len(told) == 1
    assert "an absurd amount" in told[0][0]
