"""Where a chain of custody is broken, and who hands over to whom."""

from datetime import date, timedelta

from reports import words
from reports.audiences import COMPLIANCE, OPERATIONS, Audience
from reports.cautions import CUSTODY
from reports.charts.figure import OPENS, Head
from reports.charts.panels import Series, panel_chart
from reports.content import Block, Content, Page, Section, links_to
from reports.listings.custody import (
    IN_CARE,
    NO_LONGER_IN_CARE,
    WEEKS_SHOWN,
    gaps_table,
    unproven_gone_table,
    unproven_table,
    weekly_flow_table,
)
from reports.listings.handovers import handovers
from reports.listings.stays import there_at_end, week_places_table, week_table
from reports.marks import Mark
from reports.titles import Fact, Title, When, say
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="custody",
    name="Custody",
    question="Is every chain of custody unbroken, and were handovers signed on both sides?",
    audiences=(OPERATIONS, COMPLIANCE),
    marts=("marts.custody_cases", "marts.custody_gaps", "marts.custody_legs", "marts.weekly_flow",
           "marts.place_stays", "marts.held_back_records"),
    feeds=("cases", "custody_events", "locations"),
    families=("chains", "identity", "place"),
    order=20,
)


def build(warehouse: Warehouse, audience: Audience) -> Content:
    unproven = warehouse.count(f"select count(*) {IN_CARE} and custody_status <> 'proven'")
    gaps = warehouse.count("select count(*) from marts.custody_gaps")
    gone = warehouse.count(f"select count(*) {NO_LONGER_IN_CARE}")
    pages = {m: f"custody/{words.week_label(m)}.html" for m in _mondays(warehouse)}
    sheets = {path: _week_sheet(warehouse, monday) for monday, path in reversed(pages.items())}
    return Content(
        _title(warehouse),
        f"All chains of custody on record; handovers of the last {WEEKS_SHOWN} weeks.",
        Mark.CRITICAL if unproven else Mark.MAJOR if gaps or gone else Mark.CHECKED,
        (
            Section(
                "Where records of the chain are held back",
                (
                    unproven_table(warehouse, unproven),
                    gaps_table(warehouse, gaps),
                    unproven_gone_table(gone),
                ),
            ),
            Section("Handovers from party to party", handovers(warehouse)),
            Section("How many, week by week", (*_by_week(warehouse, pages), links_to(sheets))),
        ),
        definitions=_DEFINITIONS,
        cautions=CUSTODY,
        children=sheets,
    )


def _mondays(warehouse: Warehouse) -> list[date]:
    """The weeks of the picture, oldest first."""
    since = (warehouse.as_of - timedelta(weeks=WEEKS_SHOWN)).date()
    rows = warehouse.rows(
        f"select distinct week_start from marts.weekly_flow where week_start > {literal(since)} "
        f"and week_start <= {literal(warehouse.as_of.date())} order by week_start"
    )
    return [row[0] for row in rows if isinstance(row[0], date)]


def _is_over(warehouse: Warehouse, monday: date) -> bool:
    """Whether the week has ended on the group's clock."""
    today = words.local(warehouse.as_of, warehouse.zone).date()
    return today >= monday + timedelta(weeks=1)


def _week_sheet(warehouse: Warehouse, monday: date) -> Content:
    """Who is behind the points of one week."""
    return Content(
        say(
            "{people} in our places when the {week} ended"
            if _is_over(warehouse, monday)
            else "{people} in our places in the {week} so far",
            people=warehouse.fact(
                f"select count(*) {there_at_end(monday)}",
                lambda v: f"{words.counted(v, 'person', 'people')} {words.were(v)}",
            ),
            week=When(words.week(monday)),
        ),
        "Sunday midnight, clock of each place; a week that is not over ends at the as-of time.",
        Mark.INFO,
        (
            Section("By place", (week_places_table(monday),)),
            Section("Who was there", (week_table(monday),)),
        ),
        cautions=CUSTODY,
    )


_ALL = "select count(*) from marts.custody_cases where custody_status "


def _title(warehouse: Warehouse) -> Title:
    cases = warehouse.fact(f"{_ALL}<> 'no events'", lambda v: words.counted(v, "chain"))
    held = warehouse.count(f"{_ALL}= 'not proven'")
    if not held:
        found = say("Of {cases} of custody every one is whole", cases=cases)
    else:
        found = say(
            "Records are held back in {held} of {cases} of custody ({broken} broken, {single} for "
            "a single record, {case} for the case's own)",
            held=warehouse.fact(f"{_ALL}= 'not proven'", words.number),
            cases=cases,
            broken=_held(warehouse, "broken chain"),
            single=_held(warehouse, "record of custody"),
            case=_held(warehouse, "record of the case"),
        )
    return Title((*found.parts, *_signed(warehouse)))


def _held(warehouse: Warehouse, kind: str) -> Fact:
    return warehouse.fact(f"{_ALL}= 'not proven' and held_kind = '{kind}'", words.number)


def _signed(warehouse: Warehouse) -> tuple[str | Fact | When, ...]:
    """How many handovers lack a signature; nothing where none took place."""
    since = literal(warehouse.as_of - timedelta(weeks=WEEKS_SHOWN))
    moves = f"""from (
    select handover from marts.custody_legs
    where handover <> 'no handover' and started_at >= {since}
    union all
    select release_handover from marts.custody_legs
    where release_handover is not null and ended_at >= {since}
)"""
    if not warehouse.count(f"select count(*) {moves}"):
        return ()
    unsigned = warehouse.fact(f"select count(*) {moves} where handover <> 'both'", words.number)
    every = warehouse.fact(f"select count(*) {moves}", lambda v: words.counted(v, "handover"))
    if not unsigned.value:
        return say("; both sides signed at every one of {every}", every=every).parts
    return say(
        "; at {unsigned} of {every} a signature is missing", unsigned=unsigned, every=every
    ).parts


def _by_week(warehouse: Warehouse, pages: dict[date, str]) -> tuple[Block, ...]:
    rows = warehouse.rows(
        "select location_id, week_start, closing_count from marts.weekly_flow "
        f"where week_start >= {literal(min(pages, default=warehouse.as_of.date()))} "
        "order by week_start, location_id"
    )
    mondays = list(pages)
    known = {(str(place), week): float(str(count)) for place, week, count in rows}
    seen = {place for place, week in known if week in pages}
    places = [place for place in warehouse.places.values() if place.location_id in seen]
    table = weekly_flow_table({str(m): path for m, path in pages.items()})
    if not places:
        return (table,)
    values = {p.location_id: [known.get((p.location_id, m)) for m in mondays] for p in places}
    chart = panel_chart(
        Head(
            "by-week",
            "People in each place at the end of the week",
            f"Count of people, last {len(mondays)} ISO weeks; the last one ends at the as-of time.",
            "flow",
            OPENS,
        ),
        mondays,
        [(p.location_id, p.name, p.slot) for p in places],
        [Series("people", values, "circle", is_line=True)],
        "people",
        pages,
    )
    return (chart, table)


_DEFINITIONS = (
    ("Whole", "One unbroken line of events from the first move into our care: each party and "
              "place is the one that the event before left, the band is read at every move, "
              "nothing runs backwards; and the record of the case is accepted."),
    ("Held back", "A record of the case or of its custody is held back: of a broken chain all of "
                  "them, otherwise the record that breaks a rule and those that wait for it. The "
                  "person still counts everywhere."),
    ("Proven or not", "How sure it is where somebody is and who it is: that stands in the census, "
                      "and takes counts and findings too."),
    ("No events", "The case exists and no custody event of it arrived."),
    ("Both sides", "The handover names who released and who received. Several states ask for a "
     "receipt from each side: check the local code."),
)  # fmt: skip
