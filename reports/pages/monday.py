"""One sheet for Monday: what is due, what is stuck, what last week was like."""

from dataclasses import replace

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
#: People, not rows: one case can wait for two papers and be past two limits.
_CASES = "select count(distinct case_number) from marts.due_soon where due_kind <> 'service'"
_DUE = f"{_CASES} and hours_left >= 0"
_PASSED = f"{_CASES} and hours_left < 0"
#: Rows of each list on the sheet, and where figures changed and need room too; the pages behind and
#: the downloads have all.
_DUE_ROWS, _STUCK_ROWS, _PLACES = 12, 6, 8
_DUE_BESIDE, _STUCK_BESIDE, _PLACES_BESIDE, _CHANGES = 8, 4, 5, 3


#: What earlier weeks say otherwise now; where nothing changed there is nothing to print.
_SINCE = Section("Since the last print", (replace(figure_changes_table(), shown=_CHANGES),))


def build(warehouse: Warehouse, audience: Audience) -> Content:
    week = last_week(warehouse)
    changed = warehouse.count("select count(*) from marts.figure_changes")
    due, stuck, places = (
        (_DUE_BESIDE, _STUCK_BESIDE, _PLACES_BESIDE)
        if changed
        else (_DUE_ROWS, _STUCK_ROWS, _PLACES)
    )
    flow = replace(flow_table(warehouse, week), shown=places) if week else None
    last = (Section("Last week", (steps_table(week), flow)),) if week and flow else ()
    passed = warehouse.count(_PASSED)
    late = warehouse.count(_LATE)
    return Content(
        _title(warehouse),
        "Open cases at the as-of time; limits and services of the seven days after it.",
        Mark.MAJOR if passed else Mark.MINOR if late else Mark.CHECKED,
        (
            Section("Due", (due_table(due),)),
            Section("Stuck", (stuck_table(stuck, is_sheet=True), *closing_states(warehouse))),
            *last,
            *((_SINCE,) if changed else ()),
        ),
        definitions=(
            ("Current step", "The first step on a case's way that has begun and not ended; of an "
                             "open case with every step done, that it is to be closed."),
            ("Due", "A service, a paper that it waits for, or the end of a limit; the title counts "
                    "cases, each once, however many of these it has."),
            ("Limit", "A limit of the law or of the group's own rules, with its citation; how many "
                      "hours are left, from the start that the rule names."),
        ),
        cautions=FINDINGS,
        is_one_sheet=True,
    )  # fmt: skip


def _title(warehouse: Warehouse) -> Title:
    return say(
        "{stuck} past target on {when}; {due} with a paper or limit due within a week, {passed} "
        "with one past",
        stuck=warehouse.fact(_LATE, lambda v: words.counted(v, "open case")),
        when=When(words.day(words.local(warehouse.as_of, warehouse.zone).date())),
        due=warehouse.fact(_DUE, lambda v: words.counted(v, "case")),
        passed=warehouse.fact(_PASSED, words.number),
    )
