"""How long each step took, and who waits past a target."""

from dataclasses import replace
from datetime import date
from typing import cast

from reports import words
from reports.audiences import OPERATIONS, OWNER, Audience
from reports.charts.band import UsualRange
from reports.charts.figure import Head
from reports.charts.weekly import Week, weekly_chart
from reports.content import Block, Content, Links, Page, Paragraph, Section, links_to
from reports.listings.pace import split_table
from reports.listings.stuck import (
    MOST_LATE,
    UNTIMED,
    closing_states,
    stuck_table,
    untimed_table,
    waiting_sql,
    waiting_table,
)
from reports.listings.turnaround import (
    WHOLE,
    accounts_table,
    averages_table,
    finished_table,
    flow_table,
    homes_table,
    last_week,
    steps_table,
    weeks_table,
)
from reports.listings.weekly import signal_of, usual_ranges, weekly_points
from reports.marks import Mark, State
from reports.titles import Fact, Title, When, say
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="turnaround",
    name="Turnaround",
    question="How long did each step take, and what is stuck?",
    audiences=(OPERATIONS, OWNER),
    marts=("marts.weekly_turnaround", "marts.case_steps", "marts.step_accounts",
           "marts.weekly_flow",
           "marts.weekly_figures", "marts.usual_ranges",
           "marts.stuck_list", "marts.wait_split", "marts.flow_checks"),
    feeds=("cases", "custody_events"),
    families=("turnaround",),
    order=10,
)

_STILL_WAITING = Links((
    ("still_waiting.html", "How long what was begun still waits: curves, medians of every step, "
     "and each home against the others", None),
))  # fmt: skip


def build(warehouse: Warehouse, audience: Audience) -> Content:
    week = last_week(warehouse)
    if week is None:
        return _nothing_yet()
    shown = _weeks(warehouse)
    usual = usual_ranges(warehouse, "median hours", WHOLE).get("(group)")
    told = signal_of(warehouse, "(group)", "median hours", WHOLE)
    late = warehouse.count(f"select count(*) from ({waiting_sql()})")
    weekly = {}
    if audience is OPERATIONS:
        shown = [replace(w, page=f"turnaround/{words.week_label(w.monday)}.html") for w in shown]
        weekly = _week_sheets(warehouse, shown)
    sections = [
        _pace(warehouse, week, shown, usual, told, links_to(weekly)),
        Section("Counting those who still wait", (_STILL_WAITING,)),
        Section("Where the hours went", (split_table(),)),
        Section("Is every case accounted for", (accounts_table(),)),
        Section("Does the count of people add up", (flow_table(warehouse, week), averages_table())),
    ]
    if audience is OPERATIONS:
        sections.insert(0, _stuck(warehouse, late))
    return Content(
        Title((*_title(warehouse, week, usual, told).parts,
               *(_late(warehouse) if late and audience is OPERATIONS else ()))),
        "Elapsed hours from first call to final disposition, all homes; people finished in the "
        "last complete week (Monday to Sunday, local dates).",
        Mark.MAJOR if late and audience is OPERATIONS else Mark.MINOR if told else Mark.CHECKED,
        tuple(sections),
        definitions=_DEFINITIONS,
        children=weekly,
    )  # fmt: skip


def _week_sheets(warehouse: Warehouse, shown: list[Week]) -> dict[str, Content]:
    """The cases behind each point of the picture, newest week first."""
    return {
        week.page: Content(
            say(
                "{finished} finished in the {week}",
                finished=warehouse.fact(
                    f"select count(*) from marts.case_steps where step_code = '{WHOLE}' and "
                    "step_state = 'finished' and not is_trade_call and "
                    f"finished_week = {literal(week.monday)}",
                    lambda v: words.counted(v, "case"),
                ),
                week=When(words.week(week.monday)),
            ),
            "First call to final disposition, all homes; the cases behind one point of the "
            "picture.",
            Mark.INFO,
            (Section("Cases", (finished_table(week.monday),)),),
        )
        for week in reversed(shown)
    }


def _stuck(warehouse: Warehouse, late: int) -> Section:
    untimed = warehouse.count(f"select count(*) {UNTIMED}")
    blocks: list[Block] = [
        *closing_states(warehouse), stuck_table(_stuck_rows(warehouse)),
        waiting_table(warehouse, late),
        untimed_table(untimed),
    ]  # fmt: skip
    if untimed:
        told = (
            f"{words.counted(untimed, 'step')} with no time recorded cannot be judged; see below."
        )
        blocks.insert(0, State(Mark.PARTLY, told))
    return Section("Who waits past a target", tuple(blocks))


def _stuck_rows(warehouse: Warehouse) -> int:
    """All that are past their target, and some of the others."""
    late = warehouse.count("select count(*) from marts.stuck_list where hours_over > 0")
    return min(max(20, late), MOST_LATE)


def _nothing_yet() -> Content:
    return Content(
        say("No complete week has a finished case yet, so no turnaround is given"),
        "A week counts once its Sunday is past.",
        Mark.NOT_APPLICABLE,
        (),
        definitions=_DEFINITIONS,
    )


def _weeks(warehouse: Warehouse) -> list[Week]:
    """The judged weeks, and the running one where somebody has finished in it."""
    rows = warehouse.rows(
        "select week_start, p90_hours from marts.weekly_turnaround "
        f"where location_id = '(group)' and step_code = '{WHOLE}'"
    )
    highs = dict(cast("list[tuple[date, float | None]]", rows))
    points = weekly_points(warehouse, "median hours", WHOLE, with_running=True)
    this_week = warehouse.scalar("select max(week_start) from marts.weekly_figures")
    return [
        Week(monday, figure, highs.get(monday), cases, monday != this_week)
        for monday, figure, cases in points["(group)"]
        if cases or monday != this_week
    ]


def _title(warehouse: Warehouse, week: date, usual: UsualRange | None, told: str) -> Title:
    row = (
        f"from marts.weekly_turnaround where location_id = '(group)' and step_code = '{WHOLE}' "
        f"and week_start = {literal(week)}"
    )
    n = warehouse.fact(
        f"select finished_count {row}", lambda v: words.counted(v, "person", "people")
    )
    median = warehouse.scalar(f"select median_hours {row}")
    when = When(words.week(week))
    if median is None:
        return say(
            "{n} reached final disposition in the {week}: too few for a median", n=n, week=when
        )
    shown = warehouse.fact(f"select median_hours {row}", words.hours)
    if usual is None:
        return say("{n} reached final disposition in the {week}, half within {median}",
                   n=n, week=when, median=shown)  # fmt: skip
    verdict = "outside what is usual" if told else "as usual"
    return say("{n} reached final disposition in the {week}, half within {median}, {verdict}",
               n=n, week=when, median=shown, verdict=verdict)  # fmt: skip


def _late(warehouse: Warehouse) -> tuple[str | Fact | When, ...]:
    """What makes the page of operations urgent is in its title."""
    late = warehouse.fact(
        f"select count(*) from ({waiting_sql()})", lambda v: words.counted(v, "open step")
    )
    return say("; {late} past target", late=late).parts


def _pace(
    warehouse: Warehouse, week: date, shown: list[Week], usual: UsualRange | None,
    told: str, links: Links,
) -> Section:
    blocks: list[Block] = [
        weekly_chart(
            Head(
                "weekly",
                "First call to final disposition, by week",
                f"Hours; people finished in each of the last {len(shown)} ISO weeks, all homes.",
                "weeks",
            ),
            shown,
            usual,
            "hours",
        ),
        Paragraph(_verdict(usual, told)),
        weeks_table(),
        links,
        steps_table(week),
        homes_table(week),
    ]
    return Section("How long the steps took", tuple(blocks))


def _verdict(usual: UsualRange | None, told: str) -> str:
    if usual is None:
        return "There are too few earlier weeks to say what is usual."
    if not told:
        return "No signal: the weeks shown stay within what chance gives."
    return f"Signal: {told}. A signal is a reason to ask what changed."


_DEFINITIONS = (
    ("Hours", "Elapsed time between two instants, in hours; a clock change does not bend it."),
    ("Median, 9 in 10 within", "The 50th and 90th percentile (interpolated) of the cases finished "
     "in the week. Fewer than 10 cases: the count alone. A median of finished cases leaves out "
     "those still open, so read it beside the list of open steps."),
    ("Usual range", "Mean of earlier weekly medians plus and minus 3 times their mean moving range "
     "over 1.128 (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2). Signals: a week "
     "outside it, eight of 13 in a row on one side (6.3.2), fewer crossings of the centre than "
     "chance gives in 95 of 100 rows (PLoS ONE 2014, 9(11) e113825)."),
    ("Left out", "A case held back, cancelled, or first called after the as-of time, and work for "
     "another firm (trade calls), are in no median, share or count of finished cases; the lists of "
     "what waits have trade calls too, for they are work to do. No time given: a paper with a date "
     "alone, or a record that is missing."),
    ("Target", "The group's own, from the table step_targets; not a legal limit."),
)  # fmt: skip
