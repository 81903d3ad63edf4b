"""Statements and tables of the case sheets; ``{among}`` is the list of cases."""

import polars as pl

from reports.case_pages import EVERYONE
from reports.listings.findings import is_day
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart

STATEMENTS = {
    "cases": f"""select s.case_number, s.critical_count, s.major_count, s.other_count,
    c.location_id,
    c.family_name, c.given_name, c.is_unidentified, c.custody_status, c.is_in_care, c.party_id,
    c.place_id, c.storage_unit, c.last_action, c.last_at, f.file_name, c.line,
    c.final_action, c.final_at, s.clearance_state, m.against, m.outstanding, m.certainty,
    m.named_receiver, r.place_id as remains_place, r.storage_unit as remains_unit,
    r.disc_number as remains_disc, r.left_count as remains_left, r.came_at as remains_since,
    r.hold_event_id as remains_hold,
    c.remains_receivers
from ({EVERYONE}) as s
inner join marts.custody_cases as c on s.case_number = c.case_number
left join marts.clearances as m on s.case_number = m.case_number
left join marts.remains_in_keeping as r on s.case_number = r.case_number
left join raw.files as f on c.file_id = f.file_id
where s.case_number in {{among}}""",
    "findings": f"""select f.finding_number, f.answer_state, p.case_number, f.severity, f.rule_code,
    f.location_id, f.occurred_at, {is_day("f")}, f.detail,
    file_name_a || ' line ' || line_a
        || coalesce('; ' || file_name_b || ' line ' || line_b, '') as record, says, mend, mended_by
from marts.finding_people as p
inner join marts.findings as f on p.finding_key = f.finding_key
where p.case_number in {{among}}
order by case f.severity when 'critical' then 0 when 'major' then 1 when 'minor' then 2 else 3 end,
    f.occurred_at, f.rule_code, f.finding_key""",
    "legs": """select l.case_number, l.leg_number, l.party_id, l.started_at, l.ended_at, l.handover
from marts.custody_legs as l
where l.case_number in {among}
order by l.case_number, l.leg_number""",
    "line": """select l.case_number, l.event_number, l.occurred_at, l.minutes_since / 60 as hours,
    replace(l.action, '_', ' ')
        || coalesce(' (does not follow: ' || l.break_kind || ')', '') as event,
    coalesce(l.from_party || ' to ' || l.to_party, l.to_party, l.from_party, l.party_id) as parties,
    l.place_id, l.place_id || coalesce(', ' || l.storage_unit, '') as place_and_unit,
    concat_ws('; ',
        case when l.released_by is not null or l.received_by is not null
                or l.action in ('received', 'transferred', 'released')
            then 'given by ' || coalesce(l.released_by, 'nobody named') || ', taken by '
                || coalesce(l.received_by, 'nobody named') end,
        'done by ' || l.performed_by,
        'checked by ' || l.second_checker) as people,
    coalesce(l.band_number, l.disc_number)
        || coalesce(', ' || l.identifiers_matched, '') as identity_read,
    f.file_name, l.line, f.file_name || ' line ' || l.line as record
from marts.custody_line as l
left join raw.files as f on l.file_id = f.file_id
where l.case_number in {among}
order by l.case_number, l.event_number""",
    "papers": """select p.case_number, p.paper, p.paper_state, p.paper_at,
    coalesce(p.paper_date::varchar, '') as paper_date, p.action,
    p.occurred_at, p.minutes_before / 60 as hours_before, c.location_id,
    f.file_name || ' line ' || p.case_line
        || coalesce('; ' || a.file_name || ' line ' || p.act_line, '') as record
from marts.case_papers as p
left join marts.custody_cases as c on p.case_number = c.case_number
left join raw.files as f on p.case_file_id = f.file_id
left join raw.files as a on p.act_file_id = a.file_id
where p.case_number in {among}
order by p.case_number, p.occurred_at nulls last, p.paper, p.action""",
    "gaps": """select g.case_number, g.gap_number, g.gap_kind, g.occurred_at, g.minutes,
    g.minutes / 60 as hours,
    coalesce(g.band_expected, g.party_expected, g.place_expected) as expected,
    coalesce(g.band_found, g.party_found, g.place_found) as found,
    b.file_name || ' line ' || g.line_before as record_before,
    a.file_name || ' line ' || g.line_after as record_after
from marts.custody_gaps as g
left join raw.files as b on g.file_id_before = b.file_id
left join raw.files as a on g.file_id_after = a.file_id
where g.case_number in {among}
order by g.case_number, g.gap_number""",
    # A step whose end stands in a record that is held back is not open.
    "steps": """select s.case_number, s.step_code, s.step_name, s.location_id, s.started_at,
    s.finished_at, s.hours, s.target_hours,
    case when s.step_state = 'no time given' and s.finished_at is null
            and c.custody_status = 'not proven' then 'held back'
        else s.step_state end as step_state
from marts.case_steps as s
left join marts.custody_cases as c on s.case_number = c.case_number
where s.case_number in {among}
order by s.case_number, s.started_at nulls last, s.step_code""",
    # What only waits for the record that breaks its chain is one row.
    "rejects": """select case_number, rule_code, severity, file_name, line, column_name, detail,
    mend
from quality.rejects_explained
where case_number in {among} and rule_code <> 'chain_held'
union all
select case_number, rule_code, max(severity), file_name, min(line), null,
    count(*) || ' records of the chain wait for the one that breaks it, lines '
        || string_agg(line, ', ' order by line) || '.', max(mend)
from quality.rejects_explained
where case_number in {among} and rule_code = 'chain_held'
group by case_number, rule_code, file_name
order by case_number, file_name, rule_code = 'chain_held', line, rule_code, column_name""",
}

#: What is printed as a table; the legs are drawn.
TABLES = ("findings", "line", "gaps", "papers", "steps", "rejects")

_WORDS = {
    "findings": ("Findings of the case", "findings", "No rule found anything in this case."),
    "line": ("Custody in order of time, with both sides of each handover", "custody_line",
             "No custody event of this case is on record."),
    "papers": ("Papers, and how long before the act each was there", "case_papers",
               "No act that needs a paper is on record, and none is awaited."),
    "gaps": ("Breaks in the chain", "custody_gaps", "No break between two events."),
    "steps": ("Steps and their hours", "case_steps", "No step of this case has begun."),
    "rejects": ("Records of the case that are held back", "", "No record of the case is held "
    "back."),
}  # fmt: skip

_COLUMNS = {
    "findings": (
        Column("finding_number", "No.", Kind.LINE),
        Column("rule_code", "Finding", Kind.CODE),
        Column("severity", "Severity", Kind.MARK),
        Column("occurred_at", "When", Kind.INSTANT, zone_by="location_id", day_by="is_day"),
        Column("detail", "What the records show"),
        Column("record", "File and line"),
        Column("mend", "What to do"),
        Column("answer_state", "State", Kind.CODE),
    ),
    "line": (
        Column("event_number", "No.", Kind.NUMBER),
        Column("event", "Event"),
        Column("occurred_at", "When", Kind.INSTANT, zone_by="place_id"),
        Column("hours", "After (h)", Kind.NUMBER, 1, empty="[z]"),
        Column("parties", "From and to, or holder"),
        Column("place_and_unit", "Place and unit"),
        Column("people", "Both sides, and who did it"),
        Column("identity_read", "Band or disc, identifiers", empty="not read"),
        Column("record", "File and line"),
    ),
    "papers": (
        Column("paper", "Paper"),
        Column("paper_state", "State", Kind.CODE),
        Column("paper_at", "Paper of", Kind.INSTANT, zone_by="location_id", empty="date alone"),
        Column("paper_date", "Date"),
        Column("action", "Before", Kind.CODE, empty="no act yet"),
        Column("occurred_at", "Act at", Kind.INSTANT, zone_by="location_id", empty="[z]"),
        Column("hours_before", "Before the act (h)", Kind.NUMBER, 1, empty="[z]"),
        Column("record", "File and line"),
    ),
    "gaps": (
        Column("gap_kind", "Break in", Kind.CODE),
        Column("occurred_at", "When", Kind.INSTANT),
        Column("hours", "Between (h)", Kind.NUMBER, 1, empty="[z]"),
        Column("expected", "Expected", Kind.ID, empty="[z]"),
        Column("found", "Found", Kind.ID, empty="[z]"),
        Column("record_before", "Before", empty="[z]"),
        Column("record_after", "After", empty="[z]"),
    ),
    "steps": (
        Column("step_name", "Step"),
        Column("step_state", "State", Kind.CODE),
        Column("started_at", "From", Kind.INSTANT, zone_by="location_id", empty="[z]"),
        Column("finished_at", "To", Kind.INSTANT, zone_by="location_id", empty="none"),
        Column("hours", "Hours", Kind.NUMBER, 1, empty="none"),
        Column("target_hours", "Target (h)", Kind.NUMBER, 1, empty="[z]"),
    ),
    "rejects": (
        Column("rule_code", "Rule", Kind.CODE),
        Column("severity", "Severity", Kind.MARK),
        Column("file_name", "File"),
        Column("line", "Line", Kind.LINE),
        Column("column_name", "Column", Kind.ID, empty="[z]"),
        Column("detail", "What is wrong"),
        Column("mend", "How to mend"),
    ),
}


#: What is said without rows where records of the case are held back: that is no clean result.
_HELD = {
    "findings": "No finding. But records of this case are held back, each with its reason: see the "
    "last list.",
    "gaps": "No break of holder, place, time or band. But records of this case are held back, each "
    "with its reason: see the last list.",
}


def table(name: str, rows: pl.DataFrame | None, is_held: bool = False) -> Listing:
    """The table of one sheet; without rows it says so. ``is_held``: records of the case are."""
    caption, source, none = _WORDS[name]
    columns, note = _columns(name, rows)
    mark = Mark.NOT_CHECKED if name == "line" else Mark.CHECKED
    if is_held and name in _HELD:
        mark, none = Mark.PARTLY, _HELD[name]
    return Listing(
        name,
        caption,
        "",
        columns,
        source=mart(source) if source else "quality.rejects",
        none=State(mark, none),
        note=note,
        has_download=False,
        rows=rows if rows is not None else pl.DataFrame(),
    )


def _columns(name: str, rows: pl.DataFrame | None) -> tuple[tuple[Column, ...], str]:
    """The columns, and a note: a file that all lines are of is named once, not in each row."""
    columns = _COLUMNS[name]
    if rows is None or "line" not in rows.columns or rows["file_name"].n_unique() != 1:
        return columns, ""
    short = tuple(
        Column("line", "Line", Kind.LINE) if column.name == "record" else column
        for column in columns
        if column.name != "file_name"
    )
    return short, f"All lines are of the file {rows['file_name'][0]}."
