"""How long cases that were begun still wait, those still open counted."""

from datetime import date

from reports import words
from reports.audiences import OPERATIONS, OWNER, Audience
from reports.charts.curves import Curve, Point, curve_chart, home_curves_chart
from reports.charts.figure import Head
from reports.content import Block, Content, Page, Section
from reports.listings.pace import chance_table, started_table
from reports.listings.turnaround import WEEKS_SHOWN, WHOLE
from reports.listings.waiting import at_risk_table, named_hours, open_table, points_table
from reports.marks import Mark, State
from reports.titles import Fact, Title, When, say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="still_waiting",
    name="Still waiting",
    question="How long do cases that were begun still wait, those still open counted?",
    audiences=(OPERATIONS, OWNER),
    marts=("marts.waiting_curves", "marts.started_turnaround", "marts.homes_against_the_rest",
           "marts.case_steps"),
    feeds=("cases", "custody_events"),
    families=("turnaround",),
    order=12,
)

_BEGUN = (
    "from marts.started_turnaround where location_id = '(group)' "
    f"and step_code = '{WHOLE}' and cohort_kind = '{WEEKS_SHOWN} weeks'"
)


def build(warehouse: Warehouse, audience: Audience) -> Content:
    if not warehouse.count(f"select count(*) {_BEGUN}"):
        return _nothing_yet()
    later = warehouse.count(
        f"select count(*) from marts.homes_against_the_rest where step_code = '{WHOLE}' "
        "and p_value < 0.05 / homes_compared_count and observed_count < expected_count"
    )
    sections = [
        Section("The share that still waits", _curves(warehouse)),
        Section("How long each step takes", (started_table(),)),
        Section("Each home against the others", (chance_table(),)),
    ]
    if audience is OPERATIONS:
        sections.insert(1, Section("Who still waits", (open_table(warehouse),)))
    return Content(
        _title(warehouse),
        f"First call to final disposition, all homes; cases whose first call was in the last "
        f"{WEEKS_SHOWN} complete weeks, finished or not.",
        Mark.MINOR if later else Mark.CHECKED,
        tuple(sections),
        definitions=_DEFINITIONS,
    )


def _nothing_yet() -> Content:
    return Content(
        say("No case was begun in the last complete weeks, so no wait is given"),
        "A week counts once its Sunday is past.",
        Mark.NOT_APPLICABLE,
        (),
        definitions=_DEFINITIONS,
    )


def _title(warehouse: Warehouse) -> Title:
    last = warehouse.scalar(f"select cohort_end {_BEGUN}")
    ends = words.day(last) if isinstance(last, date) else "the last complete week"
    facts: dict[str, Fact | When] = {
        "begun": warehouse.fact(
            f"select started_count {_BEGUN}", lambda v: words.counted(v, "case")
        ),
        "still": warehouse.fact(
            f"select open_count {_BEGUN}",
            lambda v: f"{words.number(v)} still {words.verb(v, 'waits', 'wait')}",
        ),
        "when": When(f"{WEEKS_SHOWN} weeks to {ends}"),
    }
    median = f"select median_hours {_BEGUN}"
    if warehouse.scalar(median) is None:
        return say("Of {begun} begun in the {when}, {still}; no median yet", **facts)
    return say(
        "Half of the {begun} begun in the {when} reached final disposition within {median}; "
        "{still}",
        median=warehouse.fact(median, words.hours),
        **facts,
    )


def _curves(warehouse: Warehouse) -> tuple[Block, ...]:
    curves = _read(warehouse)
    group, homes = curves.pop("(group)", None), list(curves.values())
    hours = named_hours(group.points[-1].hours) if group else []
    blocks: list[Block] = [*_without(warehouse, set(curves)), at_risk_table(hours),
                           points_table(warehouse, hours)]  # fmt: skip
    if group is None:
        return tuple(blocks)
    head = Head(
        "all-homes",
        "Share still waiting for final disposition, all homes together",
        f"Per cent of the {words.counted(group.begun, 'case')} begun in the last {WEEKS_SHOWN} "
        "complete weeks, by hours since the first call.",
        "curves",
        "Grey band: 95% interval. Dotted line: half. The curve ends where fewer than 10 cases "
        "are known to wait.",
    )
    charts: list[Block] = [curve_chart(head, group, hours)]
    if homes:
        head = Head(
            "each-home",
            "The same, home by home",
            f"Per cent of the cases begun at the home in the last {WEEKS_SHOWN} complete weeks.",
            "curves",
            "The home in its own line and marks; grey, thin: all homes together. Whether a home "
            "differs by more than chance is tested below.",
        )
        charts.append(home_curves_chart(head, group, homes, hours))
    return (*charts, *blocks)


def _read(warehouse: Warehouse) -> dict[str, Curve]:
    """The curve of the group and of each home that has one, homes in their fixed order."""
    points: dict[tuple[str, int], list[Point]] = {}
    for home, begun, *values in warehouse.rows(
        "select c.location_id, b.started_count, c.hours, c.still_open_share, "
        "c.still_open_low_share, c.still_open_high_share from marts.waiting_curves as c "
        "inner join marts.started_turnaround as b "
        "on c.location_id = b.location_id and c.step_code = b.step_code "
        f"where c.step_code = '{WHOLE}' and b.cohort_kind = '{WEEKS_SHOWN} weeks' "
        "order by c.location_id, c.hours"
    ):
        points.setdefault((str(home), int(str(begun))), []).append(Point(*values))  # type: ignore[arg-type]
    places = warehouse.places
    return {
        home: Curve(
            warehouse.name_of(home), places[home].slot if home in places else len(places), begun,
            found,
        )
        for (home, begun), found in points.items()
    }  # fmt: skip


def _without(warehouse: Warehouse, drawn: set[str]) -> list[State]:
    """Homes that began too few cases for a curve, with their count in words."""
    return [
        State(
            Mark.NOT_APPLICABLE,
            f"{warehouse.name_of(str(home))} began {words.counted(int(str(begun)), 'case')} in "
            "these weeks, too few for a curve.",
        )
        for home, begun in warehouse.rows(
            f"select location_id, started_count from marts.started_turnaround where step_code = "
            f"'{WHOLE}' and cohort_kind = '{WEEKS_SHOWN} weeks' and location_id <> '(group)' "
            "order by location_id"
        )
        if str(home) not in drawn
    ]


_DEFINITIONS = (
    ("Still waiting", "Product limit (Kaplan and Meier 1958): of the cases begun, the share "
     "without final disposition after so many hours. A case that is still open counts as waiting "
     "up to the as-of time and says nothing of later. Finished cases alone would make every step "
     "look faster."),
    ("95% interval", "Greenwood's variance on the scale log(-log): shares that the cases seen "
     "leave possible. The interval of a median is that of Brookmeyer and Crowley (1982)."),
    ("End of a curve", "The last time at which 10 cases are known to wait; beyond it one case "
     "would move the curve far (Lancet 2002;359:1686). Cases open for longer stand in the list of "
     "open steps."),
    ("More than chance", "Log-rank test of each home against all others, like kinds of case with "
     "like; p below 0.05 divided by the number of homes tested."),
)  # fmt: skip
