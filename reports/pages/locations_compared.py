"""How the homes compare, like with like, with the counts beside each figure."""

from reports import words
from reports.audiences import OWNER, Audience
from reports.cautions import FINDINGS
from reports.charts.dots import Dot, dot_chart
from reports.charts.figure import Chart, Head
from reports.content import Content, Page, Section
from reports.intervals import wilson
from reports.listings.comparison import homes_table, money_table, oldest_table
from reports.marks import Mark
from reports.titles import Title, say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="locations_compared",
    name="Locations compared",
    question="How do the homes compare, and is any difference more than chance?",
    audiences=(OWNER,),
    marts=("marts.location_comparison", "marts.findings"),
    feeds=("locations", "cases", "custody_events", "statement_lines"),
    families=("turnaround",),
    order=5,
)

_MEDIAN = "median_hours_call_to_disposition"
_KNOWN = f"from marts.location_comparison where {_MEDIAN} is not null"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    critical = warehouse.count("select count(*) from marts.findings where severity = 'critical'")
    return Content(
        _title(warehouse),
        "First call to final disposition, median per home, all cases finished so far. Places "
        "stand in a "
        "fixed order; nothing here is a ranking.",
        Mark.CRITICAL if critical else Mark.INFO,
        (
            Section("What could end us", (oldest_table(), money_table())),
            Section("Side by side", (*_medians(warehouse), *_shares(warehouse), homes_table())),
        ),
        definitions=_DEFINITIONS,
        cautions=FINDINGS,
    )


def _title(warehouse: Warehouse) -> Title:
    homes = warehouse.count(f"select count(*) {_KNOWN}")
    if homes < 2:
        return say(
            "{homes} with enough finished cases: too few to compare",
            homes=warehouse.fact(f"select count(*) {_KNOWN}", lambda v: words.counted(v, "home")),
        )
    return say(
        "{homes} took a median of {low} to {high} from first call to final disposition",
        homes=warehouse.fact(f"select count(*) {_KNOWN}", lambda v: words.counted(v, "home")),
        low=warehouse.fact(f"select min({_MEDIAN}) {_KNOWN}", lambda v: words.number(v, 1)),
        high=warehouse.fact(f"select max({_MEDIAN}) {_KNOWN}", words.hours),
    )


def _medians(warehouse: Warehouse) -> list[Chart]:
    rows = warehouse.rows(
        f"select location_id, {_MEDIAN}, p90_hours_call_to_disposition, finished_count {_KNOWN} "
        "order by location_id"
    )
    if not rows:
        return []
    dots = [
        Dot(
            warehouse.name_of(str(place)),
            float(str(median)),
            str(place),
            _slot(warehouse, place),
            low=float(str(median)),
            high=None if p90 is None else float(str(p90)),
            text=f"n {words.number(int(str(n)))}",
        )
        for place, median, p90, n in rows
    ]
    head = Head(
        "medians",
        "First call to final disposition",
        "Hours: dot is the median, line runs to the 90th percentile; n is the number of "
        "finished cases.",
        "homes",
    )
    return [dot_chart(head, dots, "hours")]


def _shares(warehouse: Warehouse) -> list[Chart]:
    rows = warehouse.rows(
        "select location_id, within_target_share, finished_count from marts.location_comparison "
        "where within_target_share is not null and finished_count > 0 order by location_id"
    )
    if not rows:
        return []
    dots = []
    for place, share, finished in rows:
        n = int(str(finished))
        low, high = wilson(round(float(str(share)) * n), n)
        dots.append(
            Dot(
                warehouse.name_of(str(place)),
                100 * float(str(share)),
                str(place),
                _slot(warehouse, place),
                100 * low,
                100 * high,
                f"n {words.number(n)}",
            )
        )
    head = Head(
        "shares",
        "Share of cases within the group's target",
        "Per cent of finished cases, with the 95% interval; n is the number of finished cases.",
        "homes",
        "Where the intervals overlap widely, the difference can be chance. Mixes of cremation and "
        "burial, and of autopsied cases, differ between homes: see the table.",
    )
    return [dot_chart(head, dots, "% within target")]


def _slot(warehouse: Warehouse, place: object) -> int:
    known = warehouse.places.get(str(place))
    return known.slot if known else len(warehouse.places)


_DEFINITIONS = (
    ("Median, 9 in 10 within", "The 50th and 90th percentile (interpolated) of elapsed hours. "
                               "Under 10 finished cases: the count alone."),
    ("Interval", "Score interval of a share at 95% (Stat Med 1998;17:857)."),
    ("Findings", "Count of findings whose place it is; a place that does more has more."),
)  # fmt: skip
