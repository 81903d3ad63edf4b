"""How the homes compare, like with like, with the counts beside each figure."""

from reports import words
from reports.audiences import OWNER, Audience
from reports.cautions import FINDINGS
from reports.chance import chance_lines, chance_title
from reports.charts.dots import Dot, dot_chart
from reports.charts.figure import Chart, Head
from reports.charts.funnel import FEWEST, FunnelPoint, funnel_chart, outside
from reports.content import Content, Page, Paragraph, Section
from reports.listings.comparison import (
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
        "Shares of the cases of the last 26 weeks and pace of those begun in the last 13, each "
        "home against all homes. Places stand in a fixed order; nothing here is a ranking.",
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
        lead=Section(
            "Is any difference more than chance?",
            tuple(Paragraph(line) for line in chance_lines(warehouse, WHOLE)),
        ),
        is_one_sheet=True,
    )


def _title(warehouse: Warehouse) -> Title:
    homes = warehouse.count(f"select count(*) {_KNOWN}")
    if homes < 2:
        return say(
            "{homes} with enough finished cases: too few to compare",
            homes=warehouse.fact(f"select count(*) {_KNOWN}", lambda v: words.counted(v, "home")),
        )
    return chance_title(warehouse, WHOLE)


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
            "select location_id, case_count, share, group_share, judged_count "
            "from marts.home_shares "
            f"where measure = {literal(measure)} and case_count >= {FEWEST} order by location_id"
        )
        points = [
            FunnelPoint(warehouse.name_of(str(place)), _slot(warehouse, place), int(str(n)),
                        float(str(share)))
            for place, n, share, *_ in rows
        ]  # fmt: skip
        if len(points) < 2:
            continue
        group = float(str(rows[0][3]))
        tests = int(str(rows[0][4]))
        told = [f"{p.name}: {outside(p, group, tests)}" for p in points]
        head = Head(
            f"funnel-{measure.replace(' ', '-')}",
            caption,
            f"Per cent of {of}. Line: all homes together. Dashed: 95% of chance lies within. "
            f"Dotted: the same for all {tests} shares that are judged at once.",
            "shares",
            f"{'; '.join(told)}. Inside the dotted limits there is no difference to explain.",
        )
        charts.append(funnel_chart(head, points, group, tests))
    return charts


def _slot(warehouse: Warehouse, place: object) -> int:
    known = warehouse.places.get(str(place))
    return known.slot if known else len(warehouse.places)


_DEFINITIONS = (
    ("Median, 9 in 10 within", "The 50th and 90th percentile (interpolated) of elapsed hours. "
                               "Under 10 finished cases: the count alone."),
    ("Limits of chance", "Exact binomial limits about the share of all homes (Stat Med "
     "2005;24:1185): of places that do not differ, 95% lie within the inner ones; beyond them is a "
     "reason to look. The outer ones leave out 5% divided by the number of shares judged at once, "
     "and a share beyond them differs by more than chance. Under 10 cases a place is not judged."),
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
