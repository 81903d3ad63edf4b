"""Who is in care, where, since when, held by whom, and how sure that is."""

from datetime import date, datetime

from reports import words
from reports.audiences import COMPLIANCE, OPERATIONS, Audience
from reports.cautions import CUSTODY
from reports.charts.figure import OPENS, Head
from reports.charts.hours import PlaceHours, hours_chart
from reports.content import Block, Content, Page, Section, links_to
from reports.listings.census import (
    counts_table,
    doubtful_table,
    hours_table,
    people_table,
    places_table,
)
from reports.listings.findings import named_table
from reports.listings.remains import remains_table
from reports.listings.stays import day_hours_table, day_table, local_day, there_on
from reports.marks import Mark
from reports.names import file_name
from reports.titles import Title, When, say
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="census",
    name="Census",
    question="Who is in our care, where, held by whom, and how sure is it?",
    audiences=(OPERATIONS, COMPLIANCE),
    marts=("marts.census", "marts.findings", "marts.finding_people",
           "marts.remains_in_keeping", "marts.physical_counts",
           "marts.place_hours", "marts.place_stays"),
    feeds=("cases", "custody_events", "locations"),
    families=("chains", "identity", "place"),
    order=10,
)  # fmt: skip

_COUNT = "select count(*) from marts.census"
_DOUBTFUL = "select case_number from marts.census where certainty <> 'proven'"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    contradicted = warehouse.count(f"{_COUNT} where certainty = 'contradicted'")
    unproven = warehouse.count(f"{_COUNT} where certainty = 'not proven'")
    sheets = _sheets(warehouse)
    links = links_to(sheets)
    days = _days(warehouse)
    by_day = {path: _day_sheet(warehouse, day) for day, path in days.items()}
    return Content(
        _title(warehouse),
        "Everyone who came into care and is not yet cremated, buried, entombed or released, at "
        "the as-of time; people whose records are held back are counted too.",
        Mark.CRITICAL if contradicted else Mark.MAJOR if unproven else Mark.CHECKED,
        (
            Section("Of whom it is not certain", (
                doubtful_table(warehouse),
                named_table(_DOUBTFUL, "('critical', 'major')"),
            )),
            Section("By place", (places_table(warehouse), links)),
            Section("Everyone in care", (people_table(warehouse),)),
            Section("Cremated remains", (remains_table(warehouse),)),
            Section("Physical counts", (counts_table(),)),
            Section("How full, hour by hour", (*_hours(warehouse, days), links_to(by_day))),
        ),
        definitions=_DEFINITIONS,
        cautions=CUSTODY,
        children={**sheets, **by_day},
    )


def _title(warehouse: Warehouse) -> Title:
    people = warehouse.fact(
        _COUNT, lambda v: f"{words.counted(v, 'person', 'people')} {words.are(v)}"
    )
    when = When(words.spoken_clock(warehouse.as_of, warehouse.zone))
    doubtful = f"{_COUNT} where certainty <> 'proven'"
    if not warehouse.count(doubtful):
        return say("{people} in care on {when}; all of them are where the record says",
                   people=people, when=when)  # fmt: skip
    return say(
        "{people} in care on {when}; it is not certain of {doubtful}",
        people=people,
        when=when,
        doubtful=warehouse.fact(doubtful, words.number),
    )


def _sheets(warehouse: Warehouse) -> dict[str, Content]:
    """One page a place, to print and to count with."""
    return {
        f"census/place-{file_name(place.location_id)}.html": Content(
            say(
                "{people} at {place} on {when}",
                people=warehouse.fact(
                    f"{_COUNT} where place_id = {literal(place.location_id)}",
                    lambda v: words.counted(v, "person", "people"),
                ),
                place=When(words.visible(place.name)),
                when=When(words.spoken_clock(warehouse.as_of, place.zone)),
            ),
            "In care at this place at the as-of time, longest in care first.",
            Mark.INFO,
            (
                Section("Who is here", (people_table(warehouse, place.location_id),)),
                Section("Cremated remains", (remains_table(warehouse, place.location_id),)),
            ),
            cautions=CUSTODY,
        )
        for place in warehouse.places.values()
    }


def _days(warehouse: Warehouse) -> dict[date, str]:
    """Day of the picture, on the clock of each place -> the page of who was there, newest first."""
    rows = warehouse.rows(
        f"select distinct {local_day(warehouse, 'hour_start')} as day from marts.place_hours "
        "order by day desc"
    )
    return {row[0]: f"census/{row[0]}.html" for row in rows if isinstance(row[0], date)}


def _day_sheet(warehouse: Warehouse, day: date) -> Content:
    """Who is behind the hours of one day."""
    return Content(
        say(
            "{people} in our places at some time on {day}",
            people=warehouse.fact(
                f"select count(distinct case_number) {there_on(warehouse, day)}",
                lambda v: f"{words.counted(v, 'person', 'people')} {words.were(v)}",
            ),
            day=When(words.day(day)),
        ),
        "From midnight to midnight on the clock of each place.",
        Mark.INFO,
        (
            Section("How full", (day_hours_table(warehouse, day),)),
            Section("Who was there", (day_table(warehouse, day),)),
        ),
        cautions=CUSTODY,
    )


def _hours(warehouse: Warehouse, days: dict[date, str]) -> tuple[Block, ...]:
    rows = warehouse.rows(
        "select location_id, hour_start, peak_count, capacity from marts.place_hours "
        "where capacity > 0 order by location_id, hour_start"
    )
    table = hours_table(warehouse, {str(day): path for day, path in days.items()})
    pages: dict[datetime, str] = {}
    by_place: dict[str, tuple[int, list[tuple[datetime, int]]]] = {}
    for place, hour, people, capacity in rows:
        if isinstance(hour, datetime):
            at = words.local(hour, warehouse.zone).replace(tzinfo=None)
            of_place = by_place.setdefault(str(place), (int(str(capacity)), []))
            of_place[1].append((at, int(str(people))))
            own = words.local(hour, warehouse.zone_of(place)).date()
            pages[at] = days.get(own, "")
    if not by_place:
        return (table,)
    places = [
        PlaceHours(place.name, place.slot, *by_place[place.location_id])
        for place in warehouse.places.values()
        if place.location_id in by_place
    ]
    head = Head(
        "hours-drawn",
        "How full each place was, hour by hour",
        f"Most people at once in the hour as a share of the room, percent, clock of "
        f"{warehouse.zone}. Dashed: full. Places whose room is not on record have no panel.",
        "hours",
        OPENS,
        table_has="The most and the fewest people of each day are",
    )
    return (hours_chart(head, places, pages), table)


_DEFINITIONS = (
    ("Proven", "Every record of the person is accepted, they fit together, and nothing found puts "
               "the place or the identity in doubt."),
    ("Not proven", "A record of the case or of its custody is held back, or the band was put on "
                   "late, could not be read, or was missing on a shared trip."),
    ("Contradicted", "Two records cannot both be true: the chain breaks, the newest count did not "
                     "see the person or saw them elsewhere, or a band, shelf, chamber or sex "
                     "belongs to somebody else. An answered finding no longer counts."),
    ("In care", "From the first event that only happens in our care until cremation, burial, "
                "entombment or release."),
)  # fmt: skip
