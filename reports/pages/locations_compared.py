"""How the homes compare, like with like, with the counts beside each figure."""

from reports import words
from reports.audiences import OWNER, Audience
from reports.cautions import FINDINGS
from reports.charts.dots import Dot, dot_chart
from reports.charts.figure import Chart, Head
from reports.charts.funnel import FunnelPoint, funnel_chart, outside
from reports.content import Content, Page, Section
from reports.listings.comparison import (
    FEWEST,
    critical_table,
    like_table,
    medians_table,
    places_table,
    shares_table,
)
from reports.listings.pace import chance_table
from reports.listings.turnaround import WHOLE
from reports.listings.weekly import last_week_table
from reports.marks import Mark
from reports.titles import Fact, Title, When, say
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="locations_compared",
    name="Locations compared",
    question="How do the homes compare, and is any difference more than chance?",
    audiences=(OWNER,),
    marts=("marts.location_comparison", "marts.findings", "marts.home_medians",
           "marts.home_shares", "marts.like_with_like", "marts.homes_against_the_rest",
           "marts.usual_ranges"),
    feeds=("locations", "cases", "custody_events", "statement_lines", "supply_movements"),
    families=("turnaround",),
    order=5,
)  # fmt: skip

_KNOWN = "from marts.home_medians where median_hours is not null"
_CRITICAL = (
    "select count(*) from marts.findings where answer_state <> 'answered' "
    "and severity = 'critical'"
)


def build(warehouse: Warehouse, audience: Audience) -> Content:
    critical = warehouse.count(_CRITICAL)
    return Content(
        Title((*_title(warehouse).parts, *_stands_open(warehouse, critical))),
        "First call to final disposition, median per home, cases finished in the last 26 weeks. "
        "Places stand in a fixed order; nothing here is a ranking.",
        Mark.CRITICAL if critical else Mark.INFO,
        (
            Section("What could end us", (critical_table(), places_table())),
            Section("Is it more than chance", (*_funnels(warehouse), shares_table(warehouse))),
            Section(
                "Like with like", (like_table(), chance_table(f"t.step_code = '{WHOLE}'"))
            ),
            Section(
                "Side by side",
                (*_medians(warehouse), medians_table(), last_week_table(WHOLE)),
            ),
        ),
        definitions=_DEFINITIONS,
        cautions=FINDINGS,
        is_one_sheet=True,
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
        low=warehouse.fact(f"select min(median_hours) {_KNOWN}", lambda v: words.number(v, 1)),
        high=warehouse.fact(f"select max(median_hours) {_KNOWN}", words.hours),
    )


def _stands_open(warehouse: Warehouse, critical: int) -> tuple[str | Fact | When, ...]:
    """What makes the page critical is in its title; nothing where no critical finding is open."""
    if not critical:
        return ()
    found = warehouse.fact(_CRITICAL, lambda v: words.counted(v, "critical finding"))
    return say(f"; {{found}} {words.are(critical)} open", found=found).parts


def _medians(warehouse: Warehouse) -> list[Chart]:
    rows = warehouse.rows(
        f"select location_id, median_hours, p90_hours, case_count {_KNOWN} "
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
        "medians",
    )
    return [dot_chart(head, dots, "hours")]


#: What a funnel shows: measure of the mart, caption, what the share is of.
_FUNNELS = (
    ("within target", "Share of cases within target", "cases finished in the last 26 weeks"),
    ("custody fault", "Share of cases with a fault of custody",
     "cases called in the last 26 weeks"),
    ("record held back", "Share of cases with a record held back",
     "cases called in the last 26 weeks"),
)  # fmt: skip


def _funnels(warehouse: Warehouse) -> list[Chart]:
    """One funnel a measure; places with few cases are left to the table."""
    charts = []
    for measure, caption, of in _FUNNELS:
        rows = warehouse.rows(
            "select location_id, case_count, share, group_share from marts.home_shares "
            f"where measure = {literal(measure)} and case_count >= {FEWEST} order by location_id"
        )
        points = [
            FunnelPoint(warehouse.name_of(str(place)), _slot(warehouse, place), int(str(n)),
                        float(str(share)))
            for place, n, share, _ in rows
        ]  # fmt: skip
        if len(points) < 2:
            continue
        group = float(str(rows[0][3]))
        told = [f"{p.name}: {outside(p, group)}" for p in points]
        head = Head(
            f"funnel-{measure.replace(' ', '-')}",
            caption,
            f"Per cent of {of}. Line: all homes together. Dashed: 95% of chance lies within; "
            "dotted: 99.8%.",
            "shares",
            f"{'; '.join(told)}. Inside the limits there is no difference to explain.",
        )
        charts.append(funnel_chart(head, points, group))
    return charts


def _slot(warehouse: Warehouse, place: object) -> int:
    known = warehouse.places.get(str(place))
    return known.slot if known else len(warehouse.places)


_DEFINITIONS = (
    ("Median, 9 in 10 within", "The 50th and 90th percentile (interpolated) of elapsed hours. "
                               "Under 10 finished cases: the count alone."),
    ("Limits of chance", "Exact binomial limits about the share of all homes: of places that do "
     "not differ, 95% lie within the inner and 99.8% within the outer ones (Stat Med "
     "2005;24:1185). Under 10 cases a place is not judged."),
    ("Fault of custody", "A chain that does not hold, a gap in it, or a critical or major finding "
     "of identity or place, once a case. Record held back: of the case or of its custody. Both of "
     "cases called in the last 26 complete ISO weeks and the running one."),
    ("Standardised", "The share that a home would have with the mix of cases of all homes "
     "together: kind of disposition, place of death, clearance by a medical examiner. Kinds that "
     "a home never had are left out; covered says how much of the mix is left."),
    ("Usual median", "Of homes that do not differ, 95% of medians of as many cases lie within it: "
     "the share of all cases below such a median is Beta((n + 1) / 2, (n + 1) / 2)."),
    ("Findings", "Count of findings whose place it is; a place that does more has more."),
)  # fmt: skip
