"""One sheet for Monday: what is due, what is stuck, what last week was like."""

from reports import words
from reports.audiences import OPERATIONS, Audience
from reports.cautions import FINDINGS
from reports.content import Content, Page, Section
from reports.listings.stuck import closing_states, due_table, stuck_table
from reports.listings.turnaround import figure_changes_table, flow_table, last_week, steps_table
from reports.marks import Mark
from reports.titles import Title, When, say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="monday",
    name="Monday sheet",
    question="What is due this week, what is stuck, and how was last week?",
    audiences=(OPERATIONS,),
    marts=("marts.due_soon", "marts.stuck_list", "marts.weekly_turnaround", "marts.weekly_flow",
           "marts.figure_changes"),
    feeds=("cases", "custody_events", "locations"),
    families=("turnaround",),
    order=2,
)  # fmt: skip

_LATE = "select count(*) from marts.stuck_list where hours_over > 0"
_DUE = "select count(*) from marts.due_soon where due_kind <> 'service' and hours_left >= 0"
_PASSED = "select count(*) from marts.due_soon where due_kind <> 'service' and hours_left < 0"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    week = last_week(warehouse)
    last = (
        (Section("Last week", (steps_table(week), flow_table(warehouse, week))),) if week else ()
    )
    passed = warehouse.count(_PASSED)
    late = warehouse.count(_LATE)
    return Content(
        _title(warehouse),
        "Open cases at the as-of time; limits and services of the seven days after it.",
        Mark.MAJOR if passed else Mark.MINOR if late else Mark.CHECKED,
        (
            Section("Due", (due_table(),)),
            Section("Stuck", (stuck_table(6), *closing_states(warehouse))),
            *last,
            Section("Since the last print", (figure_changes_table(),)),
        ),
        definitions=(
            ("Current step", "The first step on a case's way that has begun and not ended; of an "
                             "open case with every step done, that it is to be closed."),
            ("Limit", "A limit of the law or of the group's own rules, with its citation; how many "
                      "hours are left, from the start that the rule names."),
        ),
        cautions=FINDINGS,
        is_one_sheet=True,
    )  # fmt: skip


def _title(warehouse: Warehouse) -> Title:
    return say(
        "{stuck} past target on {when}; {due} due within a week, {passed} already passed",
        stuck=warehouse.fact(_LATE, lambda v: words.counted(v, "open case")),
        when=When(words.day(words.local(warehouse.as_of, warehouse.zone).date())),
        due=warehouse.fact(_DUE, lambda v: words.counted(v, "paper or limit", "papers or limits")),
        passed=warehouse.fact(_PASSED, words.number),
    )
