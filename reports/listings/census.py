"""Tables of who is in care, of who may move on, and of physical counts."""

from collections.abc import Mapping

from reports import words
from reports.listings.stays import local_day
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

PERSON_NAME = """coalesce(family_name || coalesce(', ' || given_name, ''), given_name,
        case when is_unidentified then '(declared unidentified)' end) as person,
    family_name, given_name"""
PLACE_AND_UNIT = (
    "coalesce(place_id, 'no place on record') || coalesce(', ' || storage_unit, '') as whereabouts"
)
NAMES = ("family_name", "given_name")
CERTAINTY_ORDER = "case certainty when 'contradicted' then 0 when 'not proven' then 1 else 2 end"

CASE = Column("case_number", "Case", Kind.CASE)
NAMED = Column("person", "Person", Kind.PERSON)
PERSON = (CASE, NAMED)
WHERE = Column("whereabouts", "Place and unit", Kind.ID)


def doubtful_table(warehouse: Warehouse) -> Listing:
    people = warehouse.count("select count(*) from marts.census")
    return Listing(
        "in-doubt",
        "Not proven or contradicted, and why",
        f"""select case_number, {PERSON_NAME}, certainty, party_id,
    place_id, storage_unit, {PLACE_AND_UNIT}, seen_action, seen_at, why
from marts.census
where certainty <> 'proven'
order by {CERTAINTY_ORDER}, seen_at, case_number""",
        (
            *PERSON,
            Column("certainty", "How sure", Kind.MARK),
            Column("why", "Why"),
            WHERE,
            Column("seen_action", "Last event", Kind.CODE),
            Column("seen_at", "At", Kind.INSTANT, zone_by="place_id"),
        ),
        personal=NAMES,
        source=mart("census"),
        none=State(
            Mark.CHECKED,
            f"{words.counted(people, 'person', 'people')} in care checked. Of each it is proven "
            "where they are and that it is them.",
        ),
        note="Go and read the band: the record does not show for certain where these people are.",
    )


def people_table(warehouse: Warehouse, place: str | None = None) -> Listing:
    """Everyone in care; of one place when ``place`` is given."""
    where = f"where place_id = {literal(place)}" if place else ""
    people = warehouse.count(f"select count(*) from marts.census {where}")
    return Listing(
        "people",
        f"{words.counted(people, 'person', 'people')}, longest in care first",
        f"""select case_number, {PERSON_NAME}, location_id, party_id,
    place_id, storage_unit, {PLACE_AND_UNIT}, certainty, in_care_since, here_since,
    round(hours_in_care, 1) as hours_in_care, seen_action, seen_at,
    round(hours_since_seen, 1) as hours_since_seen
from marts.census
{where}
order by hours_in_care desc nulls first, case_number""",
        (
            *PERSON,
            WHERE,
            Column("party_id", "Held by", Kind.PLACE),
            Column("certainty", "How sure", Kind.MARK),
            Column("here_since", "Here since", Kind.INSTANT, zone_by="place_id"),
            Column("hours_in_care", "In care (h)", Kind.NUMBER, 1),
            Column("seen_action", "Last event", Kind.CODE),
            Column("hours_since_seen", "Ago (h)", Kind.NUMBER, 1),
        ),
        personal=NAMES,
        source=mart("census"),
        none=State(Mark.NOT_APPLICABLE, "Nobody is in care here at the as-of time."),
        shown=200,
    )


def places_table(warehouse: Warehouse) -> Listing:
    """People by place: ours in their fixed order, then whatever else the records name."""
    sql = """select coalesce(people.place_id, 'no place on record') as place_id,
    count(*)::bigint as people,
    count(*) filter (where certainty <> 'proven')::bigint as in_doubt,
    max(places.capacity)::bigint as capacity,
    case when max(places.capacity) > 0 then count(*)::double / max(places.capacity) end as share
from marts.census as people
left join accepted.locations as places on people.place_id = places.location_id
group by people.place_id
order by max(places.location_id) nulls last, place_id"""
    return Listing(
        "by-place",
        "People by place, and how full it is",
        sql,
        (
            Column("place_id", "Place", Kind.PLACE),
            Column("people", "People", Kind.NUMBER),
            Column("in_doubt", "Of them in doubt", Kind.NUMBER),
            Column("capacity", "Room for", Kind.NUMBER, empty="[x]"),
            Column("share", "Full (%)", Kind.SHARE, empty="[x]"),
        ),
        source=mart("census"),
        none=State(Mark.NOT_APPLICABLE, "Nobody is in care at the as-of time."),
        totals=warehouse.totals(sql, {"people": 0, "in_doubt": 0}),
    )


def counts_table() -> Listing:
    return Listing(
        "counts",
        "Physical counts against the record, newest first",
        """select location_id, document_number, counted_at, recorded_count, seen_count,
    agreeing_count, other_unit_count, missed_count, elsewhere_count, unknown_count,
    round(days_ago, 1) as days_ago
from marts.physical_counts
order by counted_at desc, location_id, document_number""",
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("document_number", "Sheet", Kind.ID),
            Column("counted_at", "When", Kind.INSTANT, zone_by="location_id"),
            Column("recorded_count", "On record", Kind.NUMBER),
            Column("missed_count", "Not seen", Kind.NUMBER),
            Column("elsewhere_count", "Recorded elsewhere", Kind.NUMBER),
            Column("unknown_count", "Nobody we know", Kind.NUMBER),
            Column("seen_count", "Seen", Kind.NUMBER),
            Column("other_unit_count", "Other unit", Kind.NUMBER),
        ),
        source=mart("physical_counts"),
        none=State(Mark.NOT_CHECKED, "No physical count is on record."),
        note="On record - not seen + recorded elsewhere + nobody we know = seen. Whoever came or "
        "went within an hour of the count is neither on record here nor missed.",
        shown=20,
    )


def hours_table(warehouse: Warehouse, pages: Mapping[str, str]) -> Listing:
    """``pages``: day on the clock of the place -> the page of who was there on it."""
    return Listing(
        "hours",
        "How full each place was, by day",
        f"""select location_id, {local_day(warehouse, "hour_start")} as day,
    max(peak_count) as peak_count,
    min(peak_count) as lowest_count, max(not_proven_count) as not_proven_count,
    max(capacity) as capacity, count(*) filter (where is_over)::bigint as hours_over
from marts.place_hours
group by all
order by day desc, location_id""",
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("day", "Day", Kind.DAY, links=pages),
            Column("peak_count", "Most at once", Kind.NUMBER),
            Column("lowest_count", "Fewest in an hour", Kind.NUMBER),
            Column("capacity", "Room for", Kind.NUMBER, empty="[x]"),
            Column("hours_over", "Hours over", Kind.NUMBER),
            Column("not_proven_count", "Of them held back", Kind.NUMBER),
        ),
        source=mart("place_hours"),
        none=State(Mark.NOT_APPLICABLE, "No place of ours is known."),
        shown=25,
    )
