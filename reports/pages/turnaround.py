"""How long each step took, and who waits past a target."""

from datetime import date

from reports import words
from reports.audiences import OPERATIONS, OWNER, Audience
from reports.charts.weekly import Week, weekly_chart
from reports.content import Block, Content, Page, Paragraph, Section
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing
from reports.titles import Title, When, say
from reports.usual_range import UsualRange, signals, usual_range
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="turnaround",
    name="Turnaround",
    question="How long did each step take, and what is stuck?",
    audiences=(OPERATIONS, OWNER),
    marts=("marts.weekly_turnaround", "marts.case_steps", "marts.weekly_flow"),
    feeds=("cases", "custody_events"),
    families=("turnaround",),
    order=10,
)

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

#: Open steps, hours counted to the as-of instant; steps without a time first, then most over.
def _waiting(now: str) -> str:
    owed = " ".join(f"when '{step}' then '{who}'" for step, who in OWED_BY.items())
    return f"""select case_number, location_id, step_name, started_at,
    round(waited, 1) as hours_waited, target_hours, round(waited - target_hours, 1) as hours_over,
    case step_code {owed} end as owed_by, step_state
from (
    select *, case when step_state = 'open'
        then (epoch({now}) - epoch(started_at)) / 3600.0 end as waited
    from marts.case_steps
    where step_state in ('open', 'no time given')
)
where step_state = 'no time given' or waited > target_hours
order by step_state, hours_over desc, case_number, step_name"""


def build(warehouse: Warehouse, audience: Audience) -> Content:
    week = _last_week(warehouse)
    if week is None:
        return _nothing_yet()
    weeks = _weeks(warehouse)
    usual = usual_range([w.value for w in weeks[:-WEEKS_SHOWN] if w.is_complete])
    shown = weeks[-WEEKS_SHOWN:]
    told = signals([w.value for w in shown if w.is_complete], usual) if usual else []
    late = warehouse.count(f"select count(*) from ({_waiting(warehouse.now)})")
    sections = [_pace(warehouse, week, shown, usual, told), _flow(warehouse, week)]
    if audience is OPERATIONS:
        sections.insert(0, _stuck(warehouse, late))
    return Content(
        _title(warehouse, week, usual, told),
        "Elapsed hours from first call to final disposition, all homes; people finished in the "
        "last complete week (Monday to Sunday, local dates).",
        Mark.MAJOR if late and audience is OPERATIONS else Mark.MINOR if told else Mark.CHECKED,
        tuple(sections),
        definitions=_DEFINITIONS,
    )


def _last_week(warehouse: Warehouse) -> date | None:
    value = warehouse.scalar(
        "select max(week_start) from marts.weekly_turnaround "
        f"where location_id = '(group)' and step_code = '{WHOLE}' and is_complete_week"
    )
    return value if isinstance(value, date) else None


def _nothing_yet() -> Content:
    return Content(
        say("No complete week has a finished case yet, so no turnaround is given"),
        "A week counts once its Sunday is past.",
        Mark.NOT_APPLICABLE,
        (),
        definitions=_DEFINITIONS,
    )


def _weeks(warehouse: Warehouse) -> list[Week]:
    rows = warehouse.rows(
        "select week_start, median_hours, p90_hours, finished_count, is_complete_week "
        f"from marts.weekly_turnaround where location_id = '(group)' and step_code = '{WHOLE}' "
        "order by week_start"
    )
    return [Week(*row) for row in rows]  # type: ignore[arg-type]


def _title(
    warehouse: Warehouse, week: date, usual: UsualRange | None, told: list[str]
) -> Title:
    row = (
        f"from marts.weekly_turnaround where location_id = '(group)' and step_code = '{WHOLE}' "
        f"and week_start = {literal(week)}"
    )
    n = warehouse.fact(f"select finished_count {row}", lambda v: words.counted(v, "person", "people"))
    median = warehouse.scalar(f"select median_hours {row}")
    when = When(words.week(week))
    if median is None:
        return say("{n} reached final disposition in the {week}: too few for a median", n=n, week=when)
    shown = warehouse.fact(f"select median_hours {row}", words.hours)
    if usual is None:
        return say("{n} reached final disposition in the {week}, half within {median}",
                   n=n, week=when, median=shown)  # fmt: skip
    verdict = "outside what is usual" if told else "as usual"
    return say("{n} reached final disposition in the {week}, half within {median}, {verdict}",
               n=n, week=when, median=shown, verdict=verdict)  # fmt: skip


def _stuck(warehouse: Warehouse, late: int) -> Section:
    open_steps = warehouse.count("select count(*) from marts.case_steps where step_state = 'open'")
    return Section(
        "Who waits past a target",
        (
            Listing(
                "waiting",
                f"{words.counted(late, 'open step')} past target or without a time",
                _waiting(warehouse.now),
                (
                    Column("case_number", "Case", Kind.CASE),
                    Column("location_id", "Home", Kind.PLACE),
                    Column("step_name", "Step"),
                    Column("hours_waited", "Waited (h)", Kind.BAR, 1, limit="target_hours",
                           empty="[x]"),
                    Column("target_hours", "Target (h)", Kind.NUMBER, 1, empty="[z]"),
                    Column("hours_over", "Over (h)", Kind.NUMBER, 1, empty="[x]"),
                    Column("owed_by", "Owed by"),
                    Column("started_at", "Since", Kind.INSTANT, zone_by="location_id"),
                ),
                source="marts.case_steps (models/marts/case_steps.sql)",
                none=State(
                    Mark.CHECKED,
                    f"{words.counted(open_steps, 'open step')} checked. None is past its target.",
                ),
                note="Steps with no time recorded stand first, then the longest over. The tick in "
                "a bar is the target. Hours run to the as-of time.",
            ),
        ),
    )  # fmt: skip


def _pace(
    warehouse: Warehouse, week: date, shown: list[Week], usual: UsualRange | None, told: list[str]
) -> Section:
    blocks: list[Block] = [
        weekly_chart(
            "weekly",
            "First call to final disposition, by week",
            f"Hours, people finished in each of the last {len(shown)} weeks, all homes.",
            "steps",
            shown,
            usual,
            "hours",
        ),
        Paragraph(_verdict(usual, told)),
        _steps_table(week),
        _homes_table(week),
    ]
    return Section("How long the steps took", tuple(blocks))


def _verdict(usual: UsualRange | None, told: list[str]) -> str:
    if usual is None:
        return "There are too few earlier weeks to say what is usual."
    if not told:
        return "No signal: the weeks shown stay within what chance gives."
    return f"Signal: {words.listed(told)}. A signal is a reason to ask what changed."


def _steps_table(week: date) -> Listing:
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
order by t.step_code""",
        (
            Column("step_name", "Step"),
            Column("finished_count", "Finished", Kind.NUMBER),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("p90_hours", "9 in 10 within (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("within_target_share", "Within target", Kind.SHARE, empty="[c]"),
            Column("finished_before", "Finished, week before", Kind.NUMBER, empty="0"),
            Column("median_before", "Median, week before (h)", Kind.NUMBER, 1, empty="[c]"),
        ),
        source="marts.weekly_turnaround (models/marts/weekly_turnaround.sql)",
        none=State(Mark.NOT_APPLICABLE, "No step was finished in this week, so no figure."),
    )


def _homes_table(week: date) -> Listing:
    return Listing(
        "homes",
        f"Each home and step, {words.week(week)}",
        f"""select location_id, step_name, finished_count, within_target_count, median_hours,
    p90_hours, step_code, week_start
from marts.weekly_turnaround
where location_id <> '(group)' and week_start = {literal(week)}
order by location_id, step_code""",
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("step_name", "Step"),
            Column("finished_count", "Finished", Kind.NUMBER),
            Column("within_target_count", "Within target", Kind.NUMBER),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("p90_hours", "9 in 10 within (h)", Kind.NUMBER, 1, empty="[c]"),
        ),
        source="marts.weekly_turnaround (models/marts/weekly_turnaround.sql)",
        none=State(Mark.NOT_APPLICABLE, "No home finished a step in this week, so no figure."),
    )


def _flow(warehouse: Warehouse, week: date) -> Section:
    sql = f"""select location_id, opening_count, in_count, out_count, closing_count,
    opening_count + in_count - out_count - closing_count as unexplained_count, not_proven_count
from marts.weekly_flow where week_start = {literal(week)}
order by location_id"""
    sums = warehouse.rows(
        f"select sum(opening_count), sum(in_count), sum(out_count), sum(closing_count), "
        f"sum(unexplained_count), sum(not_proven_count) from ({sql})"
    )[0]
    names = ("opening_count", "in_count", "out_count", "closing_count", "unexplained_count",
             "not_proven_count")  # fmt: skip
    totals = tuple(
        (name, words.number(int(str(v)))) for name, v in zip(names, sums, strict=True) if v is not None
    )
    return Section(
        "Does the count of people add up",
        (
            Listing(
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
                source="marts.weekly_flow (models/marts/weekly_flow.sql)",
                none=State(Mark.NOT_APPLICABLE, "Nobody was in a place of ours in this week."),
                note="People whose custody is not proven are counted. Compare the last column but "
                "one with 0 and the end with a count on the floor.",
                totals=totals,
            ),
        ),
    )


_DEFINITIONS = (
    ("Hours", "Elapsed time between two instants, in hours; a clock change does not bend it."),
    ("Median, 9 in 10 within", "The 50th and 90th percentile (interpolated) of the cases finished "
     "in the week. Fewer than 10 cases: the count alone. A median of finished cases leaves out "
     "those still open, so read it beside the list of open steps."),
    ("Usual range", "Mean of earlier weekly medians plus and minus 3 times their mean moving range "
     "over 1.128 (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2). Signals: a week "
     "outside it, an unusually long run on one side, unusually few crossings."),
    ("Target", "The group's own, from the table step_targets; not a legal limit."),
)  # fmt: skip
