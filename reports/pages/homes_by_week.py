"""Each home's weeks against its own past."""

from dataclasses import replace
from datetime import date

from reports import words
from reports.audiences import OPERATIONS, OWNER, Audience
from reports.charts.figure import OPENS, Chart, Head
from reports.charts.panels import MOST_PANELS, Series, panel_chart
from reports.content import Block, Content, Page, Section, links_to
from reports.listings.turnaround import WEEKS_SHOWN, WHOLE, called_table, finished_table
from reports.listings.weekly import (
    by_week_table,
    steps_beside_usual_table,
    usual_ranges,
    verdicts_table,
    weekly_points,
)
from reports.marks import Mark
from reports.titles import Title, When, say
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="homes_by_week",
    name="Homes by week",
    question="Does a home's week differ from its own past by more than chance gives?",
    audiences=(OPERATIONS, OWNER),
    marts=("marts.weekly_figures", "marts.usual_ranges", "marts.case_steps",
           "marts.custody_cases"),
    feeds=("locations", "cases", "custody_events", "supply_movements"),
    families=("turnaround",),
    order=12,
)

#: Measure of the mart, caption, subtitle, unit.
_CHARTS = (
    ("median hours", "Median hours from first call to final disposition",
     "Hours; a home's week with too few cases for a median is a gap.", "hours"),
    ("cases finished", "Cases that reached final disposition",
     "Cases a week, by the home that arranged them.", "cases"),
    ("cases called", "First calls", "Cases a week, by the home that arranged them.", "cases"),
)  # fmt: skip

_OWN = (
    "from marts.usual_ranges where location_id <> '(group)' and usual_centre is not null "
    f"and week_count > 0 and step_code in ({literal(WHOLE)}, 'none')"
)


#: Figures that a title names.
_NAMED = 3


def build(warehouse: Warehouse, audience: Audience) -> Content:
    signals = warehouse.count(f"select count(*) {_OWN} and signal is not null")
    pages = (
        {m: f"homes_by_week/{words.week_label(m)}.html" for m in _mondays(warehouse)}
        if audience is OPERATIONS
        else {}
    )
    sheets = {path: _week_sheet(warehouse, monday) for monday, path in reversed(pages.items())}
    charts = [chart for shown in _CHARTS for chart in _panels(warehouse, pages, *shown)]
    blocks: list[Block] = [*charts, verdicts_table(warehouse, WHOLE), by_week_table(WHOLE)]
    if sheets:
        blocks.append(links_to(sheets))
    return Content(
        _title(warehouse, signals),
        f"The last {WEEKS_SHOWN} complete ISO weeks of each home, held against its own earlier "
        "weeks. Places stand in a fixed order; nothing here is a ranking.",
        Mark.MINOR if signals else Mark.CHECKED,
        (
            Section("Each home's weeks", tuple(blocks)),
            Section("Each step", (steps_beside_usual_table(),)),
        ),
        definitions=_DEFINITIONS,
        children=sheets,
    )


def _mondays(warehouse: Warehouse) -> list[date]:
    """The weeks of the pictures, oldest first."""
    rows = warehouse.rows(
        "select distinct week_start from marts.weekly_figures where is_judged order by week_start"
    )
    return [row[0] for row in rows if isinstance(row[0], date)]


def _week_sheet(warehouse: Warehouse, monday: date) -> Content:
    """The cases behind the marks of one week."""
    cases = (
        "select count(*) from marts.case_steps "
        f"where step_code = {literal(WHOLE)} and not is_trade_call"
    )
    return Content(
        say(
            "{called} and {finished} to final disposition in the {week}",
            called=warehouse.fact(
                f"select count(*) from marts.custody_cases where called_week = {literal(monday)}",
                lambda v: words.counted(v, "first call"),
            ),
            finished=warehouse.fact(
                f"{cases} and step_state = 'finished' and finished_week = {literal(monday)}",
                lambda v: words.counted(v, "case"),
            ),
            week=When(words.week(monday)),
        ),
        "The cases behind the marks of one week, by the home that arranged them.",
        Mark.INFO,
        (Section("Cases", (finished_table(monday), called_table(monday))),),
    )


def _title(warehouse: Warehouse, signals: int) -> Title:
    judged = warehouse.fact(
        f"select count(*) {_OWN}", lambda v: words.counted(v, "weekly figure of a place",
                                                           "weekly figures of places")
    )  # fmt: skip
    if not warehouse.count(f"select count(*) {_OWN}"):
        return say("Too few earlier weeks to say what is usual at any home")
    if not signals:
        return say("{judged} judged, none differs from its own past by more than chance gives",
                   judged=judged)  # fmt: skip
    return say(
        "{judged} judged, {signals} by more than chance gives: {named}; a few of so many do by "
        "chance alone",
        judged=judged,
        signals=warehouse.fact(
            f"select count(*) {_OWN} and signal is not null",
            lambda v: words.counted(v, "differs", "differ"),
        ),
        named=When(_named(warehouse)),
    )


def _named(warehouse: Warehouse) -> str:
    """Which figures of which places signal; the rest stands in the table."""
    rows = warehouse.rows(
        f"select measure, location_id {_OWN} and signal is not null order by measure, location_id"
    )
    named = [f"{measure} at {warehouse.name_of(str(place))}" for measure, place in rows[:_NAMED]]
    return words.listed([*named, *(["others"] if rows[_NAMED:] else [])])


def _panels(
    warehouse: Warehouse, pages: dict[date, str],
    measure: str, caption: str, subtitle: str, unit: str,
) -> list[Chart]:
    """Small multiples, one a home; none where no home has a figure in the weeks shown."""
    points = weekly_points(warehouse, measure, WHOLE)
    homes = [place for place in warehouse.places if place in points]
    mondays = sorted({monday for home in homes for monday, _, _ in points[home]})
    values = {home: _by_week(points[home], mondays) for home in homes}
    if not any(v is not None for figures in values.values() for v in figures):
        return []
    ranges = usual_ranges(warehouse, measure, WHOLE)
    usual = {home: ranges[home] for home in homes if home in ranges}
    ranged = [
        f"{warehouse.name_of(home)} {words.number(band.lower, 1)} to {words.number(band.upper, 1)}"
        for home, band in usual.items()
    ]
    head = Head(
        measure.replace(" ", "-"),
        caption,
        subtitle,
        "by-week",
        f"Grey band: what is usual for the home ({'; '.join(ranged)}), from earlier weeks."
        if ranged
        else "Fewer than 10 earlier weeks with a figure: no usual range is drawn.",
    )
    if pages:
        head = replace(head, note=f"{head.note} {OPENS}")
    places = [
        (home, f"{warehouse.name_of(home)} ({home})", warehouse.places[home].slot) for home in homes
    ]
    series = [Series(caption, values, "circle", is_line=True)]
    return [panel_chart(head, mondays, places[:MOST_PANELS], series, unit, pages, usual)]


def _by_week(
    points: list[tuple[date, float | None, int]], mondays: list[date]
) -> list[float | None]:
    known = {monday: figure for monday, figure, _ in points}
    return [known.get(monday) for monday in mondays]


_DEFINITIONS = (
    ("Usual range", "Mean of a home's weeks before the last 13, plus and minus 3 times their mean "
     "moving range over 1.128 (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2), from 10 "
     "weeks or more; the first two weeks on record are left out. A missing week is a gap."),
    ("Signal", "A week outside the range; eight of 13 weeks in a row on one side of the centre "
     "(NIST/SEMATECH e-Handbook, 6.3.2); fewer crossings of it than chance gives in 95 of 100 rows "
     "(PLoS ONE 2014, 9(11) e113825). A signal is a reason to ask what changed. Of a hundred "
     "figures that did not change a few signal by chance."),
)  # fmt: skip
