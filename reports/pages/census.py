"""Who is in care, where, since when, held by whom, and how sure that is."""

from datetime import datetime

from reports import words
from reports.audiences import COMPLIANCE, OPERATIONS, Audience
from reports.cautions import CUSTODY
from reports.charts.figure import Head
from reports.charts.hours import PlaceHours, hours_chart
from reports.content import Block, Content, Links, Page, Section
from reports.listings.census import (
    counts_table,
    doubtful_table,
    hours_table,
    people_table,
    places_table,
)
from reports.marks import Mark
from reports.titles import Title, When, say
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="census",
    name="Census",
    question="Who is in our care, where, held by whom, and how sure is it?",
    audiences=(OPERATIONS, COMPLIANCE),
    marts=("marts.census", "marts.physical_counts", "marts.place_hours"),
    feeds=("cases", "custody_events", "locations"),
    families=("chains", "identity", "place"),
    order=10,
)

_COUNT = "select count(*) from marts.census"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    contradicted = warehouse.count(f"{_COUNT} where certainty = 'contradicted'")
    unproven = warehouse.count(f"{_COUNT} where certainty = 'not proven'")
    sheets = _sheets(warehouse)
    links = Links(tuple((path, content.title.text, None) for path, content in sheets.items()))
    return Content(
        _title(warehouse),
        "Everyone who came into care and is not yet cremated, buried, entombed or released, at "
        "the as-of time; people whose records are held back are counted too.",
        Mark.CRITICAL if contradicted else Mark.MAJOR if unproven else Mark.CHECKED,
        (
            Section("Of whom it is not certain", (doubtful_table(warehouse),)),
            Section("By place", (places_table(warehouse), links)),
            Section("Everyone in care", (people_table(warehouse),)),
            Section("Physical counts", (counts_table(),)),
            Section("How full, hour by hour", _hours(warehouse)),
        ),
        definitions=_DEFINITIONS,
        cautions=CUSTODY,
        children=sheets,
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
        f"census/{place.slot + 1}.html": Content(
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
            (Section("Who is here", (people_table(warehouse, place.location_id),)),),
            cautions=CUSTODY,
        )
        for place in warehouse.places.values()
    }


def _hours(warehouse: Warehouse) -> tuple[Block, ...]:
    rows = warehouse.rows(
        "select location_id, hour_start, peak_count, capacity from marts.place_hours "
        "where capacity > 0 order by location_id, hour_start"
    )
    table = hours_table()
    by_place: dict[str, tuple[int, list[tuple[datetime, int]]]] = {}
    for place, hour, people, capacity in rows:
        if isinstance(hour, datetime):
            at = words.local(hour, warehouse.zone).replace(tzinfo=None)
            of_place = by_place.setdefault(str(place), (int(str(capacity)), []))
            of_place[1].append((at, int(str(people))))
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
    )
    return (hours_chart(head, places), table)


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
