"""Tables of who was at a place of ours, at the end of a week or on a day."""

from datetime import date

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

_COLUMNS = (
    Column("case_number", "Case", Kind.CASE),
    Column("location_id", "Place", Kind.PLACE),
    Column("in_at", "Came", Kind.INSTANT, zone_by="location_id"),
    Column("out_at", "Left", Kind.INSTANT, zone_by="location_id", empty="open"),
    Column("is_proven", "Arrival accepted", Kind.YES_NO),
    Column("file_name", "File of the arrival"),
    Column("line", "Line", Kind.LINE),
)


def there_at_end(monday: date) -> str:
    """Stays that were not over when the week ended at the place."""
    week = literal(monday)
    return f"from marts.place_stays where in_week <= {week} and coalesce(out_week > {week}, true)"


def local_day(warehouse: Warehouse, column: str) -> str:
    """SQL: the day of a UTC instant on the clock of the row's ``location_id``."""
    zones = "".join(
        f" when {literal(place.location_id)} then {literal(place.zone)}"
        for place in warehouse.places.values()
    )
    zone = f"case location_id{zones} else {literal(warehouse.zone)} end" if zones else "'UTC'"
    return f"timezone({zone}, timezone('UTC', {column}))::date"


def there_on(warehouse: Warehouse, day: date) -> str:
    """Stays that touch the day on the clock of the place."""
    return (
        f"from marts.place_stays where {local_day(warehouse, 'in_at')} <= {literal(day)} "
        f"and coalesce({local_day(warehouse, 'out_at')} >= {literal(day)}, true)"
    )


def week_table(monday: date) -> Listing:
    return _stays(
        f"There at the end of the {words.week(monday)}, longest first", there_at_end(monday)
    )


def day_table(warehouse: Warehouse, day: date) -> Listing:
    return _stays(f"There on {words.day(day)}, longest first", there_on(warehouse, day))


def _stays(caption: str, source: str) -> Listing:
    return Listing(
        "stays",
        caption,
        f"""select s.case_number, s.location_id, s.in_at, s.out_at, s.is_proven, f.file_name, s.line
from (select * {source}) as s
left join raw.files as f on s.file_id = f.file_id
order by s.location_id, s.in_at, s.case_number, s.line""",
        _COLUMNS,
        source=mart("place_stays"),
        none=State(Mark.NOT_APPLICABLE, "Nobody was in a place of ours."),
        note="By place. People whose arrival stands in a record that is held back are here too.",
        shown=300,
    )


def week_places_table(monday: date) -> Listing:
    """The points of the picture for one week."""
    return Listing(
        "by-place",
        "People by place when the week ended",
        f"""select location_id, closing_count, in_count, out_count, opening_count
from marts.weekly_flow where week_start = {literal(monday)}
order by location_id""",
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("closing_count", "At the end", Kind.NUMBER),
            Column("in_count", "Came", Kind.NUMBER),
            Column("out_count", "Left", Kind.NUMBER),
        ),
        source=mart("weekly_flow"),
        none=State(Mark.NOT_APPLICABLE, "No place of ours is known."),
    )


def day_hours_table(warehouse: Warehouse, day: date) -> Listing:
    """The hours of one day, the fullest first."""
    return Listing(
        "hours",
        "Hour by hour, the fullest first",
        f"""select location_id, hour_start, peak_count, capacity, is_over, not_proven_count
from marts.place_hours where {local_day(warehouse, 'hour_start')} = {literal(day)}
order by peak_count::double / nullif(capacity, 0) desc nulls last, location_id, hour_start""",
        (
            Column("location_id", "Place", Kind.PLACE),
            Column("hour_start", "Hour", Kind.INSTANT, zone_by="location_id"),
            Column("peak_count", "Most at once", Kind.NUMBER),
            Column("capacity", "Room for", Kind.NUMBER, empty="[x]"),
            Column("is_over", "Over", Kind.YES_NO),
        ),
        source=mart("place_hours"),
        none=State(Mark.NOT_APPLICABLE, "No place of ours is known."),
        shown=24,
    )
