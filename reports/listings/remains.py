"""Table of the cremated remains that the group has."""

from reports import words
from reports.listings.census import NAMES, PERSON_NAME, PLACE_AND_UNIT
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal


def remains_table(warehouse: Warehouse, place: str | None = None) -> Listing:
    """Everyone whose cremated remains are here; at one place when ``place`` is given."""
    where = f"where place_id = {literal(place)}" if place else ""
    among = f"select count(*) from marts.remains_in_keeping {where}"
    people = warehouse.count(among)
    over = warehouse.count(f"{among} {'and' if where else 'where'} days_left < 0")
    past = (
        f" Of {words.counted(over, 'person', 'people')} that is over: write to the authorising "
        "agent, and check for military service, before anything is decided."
        if over
        else ""
    )
    return Listing(
        "remains",
        f"Cremated remains of {words.counted(people, 'person', 'people')}, longest here first",
        f"""select case_number, {PERSON_NAME}, location_id, party_id,
    place_id, storage_unit, {PLACE_AND_UNIT}, disc_number, packed_count, left_count,
    hold_event_id,
    disposition_instruction, remains_receivers, case_status, custody_status, came_by, came_at,
    round(days_in_keeping, 1) as days_in_keeping, unclaimed_at, round(days_left, 1) as days_left,
    citation
from marts.remains_in_keeping
{where}
order by days_in_keeping desc, case_number""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("person", "Person", Kind.PERSON),
            Column("whereabouts", "Place and shelf", Kind.ID),
            Column("disc_number", "Disc", Kind.ID),
            Column("left_count", "Containers", Kind.NUMBER),
            Column("hold_event_id", "Hold", Kind.ID, empty="[z]"),
            Column("disposition_instruction", "Instruction", Kind.CODE),
            Column("remains_receivers", "May receive them", Kind.PERSON),
            Column("came_at", "Here since", Kind.INSTANT, zone_by="place_id"),
            Column("days_in_keeping", "Days", Kind.NUMBER, 1),
            Column("days_left", "Days left", Kind.NUMBER, 1, empty="[z]"),
        ),
        personal=NAMES,
        source=mart("remains_in_keeping"),
        none=State(Mark.NOT_APPLICABLE, "No cremated remains are here at the as-of time."),
        note="Since the end of the cremation, or since they came to us. "
        "Containers: not yet packed where none is told. Hold: the event that placed the hold that "
        "stands; nothing is handed out before it is lifted. Days left: until the law of the place "
        f"counts them as unclaimed; check with counsel or the licensing board.{past}",
        shown=200,
    )
