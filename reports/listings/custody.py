"""Tables of the custody page."""

from collections.abc import Mapping

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse

WEEKS_SHOWN = 13
IN_CARE = "from marts.custody_cases where is_in_care"
NO_LONGER_IN_CARE = (
    "from marts.custody_cases where not is_in_care and custody_status = 'not proven'"
)


#: Which rules hold back the records of a case, and how many.
_HELD_BY = """(
    select case_number, count(distinct (file_id, line))::bigint as records,
        string_agg(distinct rule, '; ' order by rule) filter (where rule <> 'chain held') as rules
    from (select *, replace(rule_code, '_', ' ') as rule from marts.held_back_records)
    where feed in ('cases', 'custody_events')
    group by case_number
)"""
_HELD_COLUMNS = (
    Column("held_kind", "Held back", Kind.CODE, empty="no event arrived"),
    Column("held_by", "By the rule", empty="[z]"),
    Column("records", "Records", Kind.NUMBER, empty="[z]"),
)


def unproven_table(warehouse: Warehouse, unproven: int) -> Listing:
    people = warehouse.count(f"select count(*) {IN_CARE}")
    return Listing(
        "unproven",
        f"{words.counted(unproven, 'person', 'people')} in care with records of the chain held "
        "back",
        f"""select c.case_number,
    coalesce(c.family_name, case when c.is_unidentified then '(declared unidentified)' end)
        as family_name,
    c.given_name, c.location_id, c.custody_status, c.held_kind, h.rules as held_by, h.records,
    c.place_id, c.storage_unit, c.last_action, c.last_at,
    round(c.hours_since_last, 1) as hours_since_last, f.file_name, c.line
from marts.custody_cases as c
left join raw.files as f on c.file_id = f.file_id
left join {_HELD_BY} as h on c.case_number = h.case_number
where c.is_in_care and c.custody_status <> 'proven'
order by c.last_at nulls first, c.case_number""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("family_name", "Family name", Kind.PERSON),
            Column("given_name", "Given name", Kind.PERSON),
            Column("location_id", "Home", Kind.PLACE),
            *_HELD_COLUMNS,
            Column("place_id", "Last place on record", Kind.PLACE),
            Column("storage_unit", "Unit", Kind.ID),
            Column("last_at", "Last move or review", Kind.INSTANT, zone_by="place_id"),
            Column("line", "Line in cases file", Kind.LINE),
        ),
        source=f"{mart('custody_cases')}, marts.held_back_records",
        none=State(
            Mark.CHECKED,
            f"{words.counted(people, 'person', 'people')} in care checked. Every chain is whole.",
        ),
        note="Go and read the band: what is held back may say where these people are. Last move or "
        "review: counts are left out. Whom a count or a finding puts in doubt, and how sure it is "
        "where each is, stands in the census.",
    )


def unproven_gone_table(gone: int) -> Listing:
    """Chains with records held back of people who have left: which rules hold them."""
    return Listing(
        "unproven-gone",
        f"{words.counted(gone, 'person', 'people')} no longer in care with records of the chain "
        "held back",
        f"""select c.case_number, c.location_id, c.held_kind,
    h.rules as held_by, h.records,
    c.final_action, c.final_at
from (select * {NO_LONGER_IN_CARE}) as c
left join {_HELD_BY} as h on c.case_number = h.case_number
order by c.final_at desc nulls first, c.case_number""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            *_HELD_COLUMNS,
            Column("final_action", "Left by", Kind.CODE),
            Column("final_at", "Left", Kind.INSTANT, zone_by="location_id"),
        ),
        source="marts.custody_cases, marts.held_back_records",
        none=State(Mark.CHECKED, "Of nobody who has left is a record of the chain held back."),
        note="Not known first, then the newest. What mends each record is on the page of what is "
        "held back.",
    )


def gaps_table(warehouse: Warehouse, gaps: int) -> Listing:
    """The first break of each kind in each case; a chain that never opened breaks at every
    event."""
    cases = warehouse.count("select count(*) from marts.custody_cases")
    broken = warehouse.count("select count(distinct case_number) from marts.custody_gaps")
    return Listing(
        "gaps",
        f"{words.counted(gaps, 'break')} in the chains of {words.counted(broken, 'case')}",
        """with ranked as (
    select *,
        row_number() over (partition by case_number, gap_kind order by gap_number) as rank_in_kind,
        count(*) over (partition by case_number, gap_kind) as breaks_of_kind
    from marts.custody_gaps
)
select g.case_number, g.gap_kind, g.breaks_of_kind, g.occurred_at,
    round(g.minutes / 60, 1) as hours_between,
    coalesce(g.band_expected, g.party_expected, g.place_expected) as expected,
    coalesce(g.band_found, g.party_found, g.place_found) as found,
    b.file_name || ' line ' || g.line_before as record_before,
    a.file_name || ' line ' || g.line_after as record_after,
    g.event_id_before, g.event_id_after, c.is_in_care, c.location_id
from ranked as g
left join marts.custody_cases as c on g.case_number = c.case_number
left join raw.files as b on g.file_id_before = b.file_id
left join raw.files as a on g.file_id_after = a.file_id
where g.rank_in_kind = 1
order by c.is_in_care desc nulls last, g.occurred_at desc nulls last, g.case_number, g.gap_kind""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("gap_kind", "Break in", Kind.CODE),
            Column("breaks_of_kind", "Breaks", Kind.NUMBER),
            Column("occurred_at", "First at", Kind.INSTANT, zone_by="location_id"),
            Column("hours_between", "Between (h)", Kind.NUMBER, 1, empty="[z]"),
            Column("expected", "Expected", Kind.ID, empty="[z]"),
            Column("found", "Found", Kind.ID, empty="[z]"),
            Column("record_before", "Record before", empty="[z]"),
            Column("record_after", "Record after", empty="[z]"),
        ),
        source=mart("custody_gaps"),
        none=State(
            Mark.CHECKED,
            f"{words.counted(cases, 'case')} checked. None has a break in its chain.",
        ),
        note="The first break of each kind in each case; people still in care first, then the "
        "newest.",
    )


def weekly_flow_table(pages: Mapping[str, str]) -> Listing:
    """``pages``: week -> the page of who was there when it ended."""
    return Listing(
        "flow",
        "Did the count add up, week by week",
        """select week_start, location_id, opening_count, in_count, out_count, closing_count,
    opening_count + in_count - out_count - closing_count as unexplained_count, not_proven_count
from marts.weekly_flow
order by week_start desc, location_id""",
        (
            Column("week_start", "Week", Kind.WEEK, links=pages),
            Column("location_id", "Place", Kind.PLACE),
            Column("opening_count", "At the start", Kind.NUMBER),
            Column("in_count", "In", Kind.NUMBER),
            Column("out_count", "Out", Kind.NUMBER),
            Column("closing_count", "At the end", Kind.NUMBER),
            Column("unexplained_count", "Unexplained", Kind.NUMBER),
            Column("not_proven_count", "Of them held back", Kind.NUMBER),
        ),
        source=mart("weekly_flow"),
        none=State(Mark.NOT_APPLICABLE, "Nobody was in a place of ours yet."),
        shown=WEEKS_SHOWN * 5,
    )
