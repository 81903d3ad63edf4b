"""Tables of the turnaround page."""

from datetime import date

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

WHOLE = "call_to_disposition"
WEEKS_SHOWN = 13

#: Who owes the end of a step (common practice, no source).
OWED_BY = {
    "call_to_received": "arranging home",
    "received_to_checked": "place where the person is",
    "received_to_cared": "place where the person is",
    "call_to_arrangement": "arranging home",
    "death_to_certificate": "certifier, chased by the home",
    "certificate_to_permit": "arranging home",
    "permit_to_disposition": "crematory or cemetery",
    "disposition_to_remains": "crematory",
    "call_to_disposition": "arranging home",
    "disposition_to_invoice": "arranging home",
}

#: Steps in the order in which a case takes them, an unknown one last.
_IN_ORDER = f"coalesce(list_position({list(OWED_BY)}, {{0}}), 99), {{0}}"


def waiting_sql() -> str:
    """Open steps past their target, hours counted to the as-of instant, most over first."""
    owed = " ".join(f"when '{step}' then '{who}'" for step, who in OWED_BY.items())
    return f"""select case_number, location_id, step_name, started_at,
    round(hours, 1) as hours_waited, target_hours, round(hours - target_hours, 1) as hours_over,
    case step_code {owed} end as owed_by
from marts.case_steps
where step_state = 'open' and hours > target_hours
order by hours_over desc, case_number, step_name"""


def waiting_table(warehouse: Warehouse, late: int) -> Listing:
    open_steps = warehouse.count("select count(*) from marts.case_steps where step_state = 'open'")
    return Listing(
        "waiting",
        f"{words.counted(late, 'open step')} past target",
        waiting_sql(),
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("hours_waited", "Waited (h)", Kind.BAR, 1, limit="target_hours"),
            Column("target_hours", "Target (h)", Kind.NUMBER, 1, empty="[z]"),
            Column("hours_over", "Over (h)", Kind.NUMBER, 1),
            Column("owed_by", "Owed by"),
            Column("started_at", "Since", Kind.INSTANT, zone_by="location_id"),
        ),
        source=mart("case_steps"),
        none=State(
            Mark.CHECKED,
            f"{words.counted(open_steps, 'open step')} checked. None is past its target.",
        ),
        note="The longest over first. The tick in a bar is the target. Hours run to the as-of "
        "time.",
    )


UNTIMED = "from marts.case_steps where step_state = 'no time given'"


def untimed_table(steps: int) -> Listing:
    return Listing(
        "untimed",
        f"{words.counted(steps, 'step')} with no time recorded",
        f"""select case_number, location_id, step_name, started_at, finished_at, step_code,
    target_hours
{UNTIMED}
order by case_number desc, step_code""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("started_at", "Began", Kind.INSTANT, zone_by="location_id"),
            Column("finished_at", "Ended", Kind.INSTANT, zone_by="location_id"),
        ),
        source=mart("case_steps"),
        none=State(Mark.CHECKED, "Every step that was taken has its times."),
        note="A later step is done and this one has no beginning or no end: it can be late and "
        "nobody would see it here.",
        shown=40,
    )


def weeks_table() -> Listing:
    return Listing(
        "weeks",
        "The weeks of the picture",
        f"""select week_start, finished_count, median_hours, p90_hours, within_target_share,
    is_complete_week
from marts.weekly_turnaround
where location_id = '(group)' and step_code = '{WHOLE}'
order by week_start desc""",
        (
            Column("week_start", "Week", Kind.WEEK),
            Column("finished_count", "Finished", Kind.NUMBER),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("p90_hours", "9 in 10 within (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("within_target_share", "Within target", Kind.SHARE, empty="[c]"),
            Column("is_complete_week", "Complete", Kind.YES_NO),
        ),
        source=mart("weekly_turnaround"),
        none=State(Mark.NOT_APPLICABLE, "No week has a finished case."),
        shown=WEEKS_SHOWN,
    )


def steps_table(week: date) -> Listing:
    return Listing(
        "steps",
        f"Each step, all homes, {words.week(week)} and the week before",
        f"""select t.step_name, t.finished_count, t.median_hours, t.p90_hours,
    t.within_target_share, b.finished_count as finished_before, b.median_hours as median_before,
    t.step_code
from marts.weekly_turnaround as t
left join marts.weekly_turnaround as b
    on t.location_id = b.location_id and t.step_code = b.step_code
    and b.week_start = t.week_start - interval 7 day
where t.location_id = '(group)' and t.week_start = {literal(week)}
order by {_IN_ORDER.format("t.step_code")}""",
        (
            Column("step_name", "Step"),
            Column("finished_count", "Done", Kind.NUMBER),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("p90_hours", "9 in 10 within (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("within_target_share", "Within target", Kind.SHARE, empty="[c]"),
            Column("finished_before", "Done, week before", Kind.NUMBER, empty="0"),
            Column("median_before", "Median, week before (h)", Kind.NUMBER, 1, empty="[c]"),
        ),
        source=mart("weekly_turnaround"),
        none=State(Mark.NOT_APPLICABLE, "No step was finished in this week, so no figure."),
    )


def homes_table(week: date) -> Listing:
    return Listing(
        "homes",
        f"Each home and step, {words.week(week)}",
        f"""select location_id, step_name, finished_count, within_target_count, median_hours,
    p90_hours, step_code, week_start
from marts.weekly_turnaround
where location_id <> '(group)' and week_start = {literal(week)}
order by location_id, {_IN_ORDER.format("step_code")}""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("finished_count", "Finished", Kind.NUMBER),
            Column("within_target_count", "Within target", Kind.NUMBER),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("p90_hours", "9 in 10 within (h)", Kind.NUMBER, 1, empty="[c]"),
        ),
        source=mart("weekly_turnaround"),
        none=State(Mark.NOT_APPLICABLE, "No home finished a step in this week, so no figure."),
    )


_FLOW = (
    *("opening_count", "in_count", "out_count", "closing_count"),
    *("unexplained_count", "not_proven_count"),
)


def flow_table(warehouse: Warehouse, week: date) -> Listing:
    sql = f"""select location_id, opening_count, in_count, out_count, closing_count,
    opening_count + in_count - out_count - closing_count as unexplained_count, not_proven_count
from marts.weekly_flow where week_start = {literal(week)}
order by location_id"""
    return Listing(
        "flow",
        f"People in each place, {words.week(week)}",
        sql,
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("opening_count", "At the start", Kind.NUMBER),
            Column("in_count", "In", Kind.NUMBER),
            Column("out_count", "Out", Kind.NUMBER),
            Column("closing_count", "At the end", Kind.NUMBER),
            Column("unexplained_count", "Start + in - out - end", Kind.NUMBER),
            Column("not_proven_count", "Of them not proven", Kind.NUMBER),
        ),
        source=mart("weekly_flow"),
        none=State(Mark.NOT_APPLICABLE, "Nobody was in a place of ours in this week."),
        note="People whose custody is not proven are counted. The last column but one should be 0; "
        "compare the end with a count on the floor.",
        totals=warehouse.totals(sql, dict.fromkeys(_FLOW, 0)),
    )
