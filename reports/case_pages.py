"""Which cases have a sheet, and where it stands."""

from reports.names import file_name
from reports.warehouse import Warehouse

#: Sheets of one publishing; the most urgent cases have theirs, the page says how many have none.
MOST_SHEETS = 200

#: Every case, with what speaks for looking at it.
EVERYONE = """select c.case_number,
    coalesce(f.critical, 0) as critical_count, coalesce(f.major, 0) as major_count,
    coalesce(f.other, 0) as other_count, coalesce(g.gaps, 0) as gap_count, c.is_in_care,
    c.custody_status, m.clearance_state, c.location_id, c.family_name, c.given_name, c.last_at
from marts.custody_cases as c
left join marts.clearances as m on c.case_number = m.case_number
left join (
    select case_number, count(*) filter (where severity = 'critical') as critical,
        count(*) filter (where severity = 'major') as major,
        count(*) filter (where severity in ('minor', 'info')) as other
    from marts.finding_people group by case_number
) as f on c.case_number = f.case_number
left join (select case_number, count(*) as gaps from marts.custody_gaps group by case_number) as g
    on c.case_number = g.case_number"""

#: Cases with a critical or major finding or a record of the chain held back, and everyone in care.
CASES = f"""{EVERYONE}
where coalesce(f.critical, 0) + coalesce(f.major, 0) + coalesce(g.gaps, 0) > 0
    or c.custody_status = 'not proven' or c.is_in_care
order by coalesce(clearance_state = 'must not move', false) desc, critical_count desc,
    gap_count desc, c.custody_status = 'not proven' desc, c.is_in_care desc, major_count desc,
    c.case_number"""


def case_pages(warehouse: Warehouse) -> dict[str, str]:
    """Case number -> path in the audience's folder, most urgent first."""
    rows = warehouse.rows(f"select case_number from ({CASES} limit {MOST_SHEETS})")
    return {str(row[0]): sheet_path(str(row[0])) for row in rows}


def sheet_path(case_number: str) -> str:
    return f"cases/case-{file_name(case_number)}.html"
