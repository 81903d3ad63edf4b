"""Weekly figures of homes beside what is usual for them."""

from datetime import date
from typing import cast

from reports import words
from reports.charts.band import UsualRange
from reports.listings.turnaround import WEEKS_SHOWN
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal


def weekly_points(
    warehouse: Warehouse, measure: str, step: str, *, with_running: bool = False
) -> dict[str, list[tuple[date, float | None, int]]]:
    """Place -> (Monday, figure, cases) of the judged weeks, in time order; perhaps the running one.
    """
    weeks = f"between {-1 if with_running else 0} and {WEEKS_SHOWN - 1}"
    rows = warehouse.rows(
        "select location_id, week_start, figure, case_count from marts.weekly_figures "
        f"where measure = {literal(measure)} and step_code = {literal(step)} "
        f"and weeks_ago {weeks} order by location_id, week_start"
    )
    points: dict[str, list[tuple[date, float | None, int]]] = {}
    for place, monday, figure, cases in cast("list[tuple[str, date, float | None, int]]", rows):
        points.setdefault(place, []).append((monday, figure, cases))
    return points


def usual_ranges(warehouse: Warehouse, measure: str, step: str) -> dict[str, UsualRange]:
    """Place -> its usual range, of the places that have enough earlier weeks for one."""
    rows = warehouse.rows(
        "select location_id, usual_centre, usual_low, usual_high, earlier_week_count "
        f"from marts.usual_ranges where measure = {literal(measure)} "
        f"and step_code = {literal(step)} and usual_centre is not null"
    )
    return {str(place): UsualRange(*limits) for place, *limits in rows}  # type: ignore[arg-type]


def signal_of(warehouse: Warehouse, place: str, measure: str, step: str) -> str:
    """The rules of chance that the place's judged weeks break, in words; empty: none."""
    told = warehouse.scalar(
        f"select signal from marts.usual_ranges where location_id = {literal(place)} "
        f"and measure = {literal(measure)} and step_code = {literal(step)}"
    )
    return str(told) if told else ""


_SHOWN = (
    Column("earlier_week_count", "Earlier weeks", Kind.NUMBER),
    Column("verdict", "Said", Kind.CODE),
    Column("signal", "Signal", empty="[z]"),
)


def verdicts_table(warehouse: Warehouse, step: str) -> Listing:
    """Every weekly figure of every home, with its range; all homes together first."""
    return Listing(
        "usual",
        "Each weekly figure beside what is usual for it",
        f"""select location_id, measure, last_figure, last_case_count, recent_mean, usual_low,
    usual_high, earlier_week_count, verdict, signal, step_code
from marts.usual_ranges
where step_code in ({literal(step)}, 'none')
order by location_id <> '(group)', measure, location_id""",
        (
            Column("measure", "Figure", Kind.CODE),
            Column("location_id", "Place", Kind.PLACE),
            Column("last_figure", "Last week", Kind.NUMBER, 1, empty="[c]"),
            Column("last_case_count", "Of cases", Kind.NUMBER),
            Column("recent_mean", f"Mean of {WEEKS_SHOWN} weeks", Kind.NUMBER, 1, empty="[c]"),
            Column("usual_low", "Usual, from", Kind.NUMBER, 1, empty="[w]"),
            Column("usual_high", "to", Kind.NUMBER, 1, empty="[w]"),
            *_SHOWN,
        ),
        source=mart("usual_ranges"),
        none=State(Mark.NOT_APPLICABLE, "No place has a weekly figure yet."),
        shown=40,
    )


def by_week_table(step: str) -> Listing:
    """The points of the pictures: each home's figures week by week."""
    figures = (("median hours", "median_hours"), ("cases finished", "finished"),
               ("cases called", "called"))  # fmt: skip
    picked = ",\n    ".join(
        f"max(case when measure = {literal(measure)} then figure end) as {name}"
        for measure, name in figures
    )
    return Listing(
        "by-week",
        "Each home week by week",
        f"""select week_start, location_id,
    {picked}
from marts.weekly_figures
where location_id <> '(group)' and step_code in ({literal(step)}, 'none')
    and weeks_ago between 0 and {WEEKS_SHOWN - 1}
group by week_start, location_id
having count(case when measure in ('median hours', 'cases finished', 'cases called') then 1 end) > 0
order by week_start desc, location_id""",
        (
            Column("week_start", "Week", Kind.WEEK),
            Column("location_id", "Place", Kind.PLACE),
            Column("median_hours", "Median (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("finished", "Finished", Kind.NUMBER, empty="0"),
            Column("called", "First calls", Kind.NUMBER, empty="0"),
        ),
        source=mart("weekly_figures"),
        none=State(Mark.NOT_APPLICABLE, "No place has a weekly figure yet."),
        shown=WEEKS_SHOWN * 5,
    )


def steps_beside_usual_table() -> Listing:
    """Median hours of every step by home, where a home has enough cases a week."""
    return Listing(
        "steps",
        "Median hours of each step, last week beside the usual",
        """select u.location_id, coalesce(t.step_name, u.step_code) as step_name, u.last_figure,
    u.last_case_count, u.recent_mean, u.usual_low, u.usual_high, u.earlier_week_count, u.verdict,
    u.signal, u.step_code
from marts.usual_ranges as u
left join (from accepted.step_targets where location_id = '(group)') as t
    on u.step_code = t.step_code
where u.measure = 'median hours' and (u.location_id = '(group)' or u.week_count > 0)
order by u.location_id <> '(group)', u.location_id, t.step_number nulls last, u.step_code""",
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("step_name", "Step"),
            Column("last_figure", "Last week (h)", Kind.NUMBER, 1, empty="[c]"),
            Column("last_case_count", "Of cases", Kind.NUMBER),
            Column("usual_low", "Usual, from (h)", Kind.NUMBER, 1, empty="[w]"),
            Column("usual_high", "to (h)", Kind.NUMBER, 1, empty="[w]"),
            *_SHOWN,
        ),
        source=mart("usual_ranges"),
        none=State(Mark.NOT_APPLICABLE, "No step was finished yet, so nothing is usual."),
        shown=40,
    )


def last_week_table(step: str) -> Listing:
    """One row a place for the owner's sheet: last week's counts beside the usual ones."""
    figures = (("cases called", "called"), ("cases finished", "finished"),
               ("formaldehyde per embalming", "formaldehyde"))  # fmt: skip
    picked = ",\n    ".join(
        f"max(case when measure = {literal(measure)} then {column} end) as {short}_{name}"
        for measure, short in figures
        for column, name in (("last_figure", "last"), ("usual_low", "low"), ("usual_high", "high"))
    )
    headings = {"called": "Called", "finished": "Finished", "formaldehyde": "Formaldehyde (g)"}
    return Listing(
        "last-week",
        "Last complete week beside the usual of each place",
        f"""select location_id,
    {picked},
    max(case when measure = 'formaldehyde per embalming' then last_case_count end) as embalmings
from marts.usual_ranges
where location_id <> '(group)' and step_code in ({literal(step)}, 'none')
    and measure <> 'median hours'
group by location_id
order by location_id""",
        (
            Column("location_id", "Place", Kind.PLACE),
            *(
                Column(f"{short}_{name}", heading, Kind.NUMBER, 0, empty=empty)
                for short, title in headings.items()
                for name, heading, empty in (
                    ("last", title, "[z]"), ("low", f"{title}, usual from", "[w]"),
                    ("high", f"{title}, to", "[w]"),
                )
            ),
            Column("embalmings", "Embalmings", Kind.NUMBER, empty="[z]"),
        ),
        source=mart("usual_ranges"),
        none=State(Mark.NOT_APPLICABLE, "No place has a weekly figure yet."),
        note="Formaldehyde per embalming. Usual: mean of the weeks before the last "
        f"{words.number(WEEKS_SHOWN)} plus and minus 3 times their mean moving range over 1.128.",
    )  # fmt: skip
