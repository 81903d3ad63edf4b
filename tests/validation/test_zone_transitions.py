"""Local times about every clock change, against the zone database as Python's zoneinfo reads it.

Second reader: zoneinfo on the files of the package tzdata (IANA Time Zone Database, RFC 6557,
https://www.iana.org/time-zones), not on a machine's own copy. DuckDB brings its own copy, too: if
one zone disagrees from one day on, one of the two does not know its newest law yet. PEP 495, RFC
6557, ISO 3166-1 and the members of the European Union are named from memory.
"""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from typing import NamedTuple
from zoneinfo import ZoneInfo

import pytest

from pipelines.feeds import FEEDS
from tests.pipelines.conftest import Bench
from validation.account import account_files, move_held
from validation.parse.doubled import NIGHT_HOURS

DATABASE = files("tzdata") / "zoneinfo"
#: The United States, Canada, the United Kingdom, Australia, New Zealand and the European Union
#: (ISO 3166-1): all zones that the database's zone.tab gives them.
COUNTRIES = """
US CA GB AU NZ AT BE BG CY CZ DE DK EE ES FI FR GR HR HU IE IT LT LU LV MT NL PL PT RO SE SI SK
"""
#: Two hours; the month of Ramadan; a quarter of an hour; a day that was left out (2011-12-30).
ODD_ZONES = ("Antarctica/Troll", "Africa/Casablanca", "Asia/Kathmandu", "Pacific/Apia")
PERIOD = (datetime(2024, 1, 1, tzinfo=UTC), datetime(2028, 1, 1, tzinfo=UTC))
LOST_DAY = (datetime(2011, 12, 1, tzinfo=UTC), datetime(2012, 1, 31, tzinfo=UTC))
MINUTE, QUARTER, WEEK = timedelta(minutes=1), timedelta(minutes=15), timedelta(days=7)


class Change(NamedTuple):
    """The minute from which the clocks of a zone go otherwise, and the offsets on both sides."""

    zone: ZoneInfo
    at: datetime
    before: timedelta
    after: timedelta


class Sample(NamedTuple):
    """A time as written at a place in the zone, and the instant, which a skipped time has not."""

    zone: ZoneInfo
    written: str
    instant: datetime | None

    @property
    def wall(self) -> datetime | None:
        return self.instant and self.instant.astimezone(self.zone).replace(tzinfo=None)


def _zone(name: str) -> ZoneInfo:
    with DATABASE.joinpath(name).open("rb") as file:
        return ZoneInfo.from_file(file, name)


def _zones() -> list[ZoneInfo]:
    listed = (line.split("\t") for line in (DATABASE / "zone.tab").read_text().splitlines())
    names = {row[2] for row in listed if row[0] in COUNTRIES.split()}
    return [_zone(name) for name in sorted(names | set(ODD_ZONES))]


def _offset(zone: ZoneInfo, at: datetime) -> timedelta:
    return at.astimezone(zone).utcoffset() or timedelta()


def _changes(zone: ZoneInfo, begin: datetime, end: datetime) -> Iterator[Change]:
    """Every change of the offset, looked for week by week and then by halves, to the minute."""
    while begin < end:
        early, late = begin, begin + WEEK
        before, after = _offset(zone, early), _offset(zone, late)
        while before != after and late - early > MINUTE:
            middle = early + (late - early) // MINUTE // 2 * MINUTE
            if _offset(zone, middle) == before:
                early = middle
            else:
                late = middle
        if before != after:
            yield Change(zone, late, before, after)
        begin += WEEK


@pytest.fixture(scope="module")
def changes() -> list[Change]:
    zones = _zones()
    found = [change for zone in zones for change in _changes(zone, *PERIOD)]
    found += _changes(_zone("Pacific/Apia"), *LOST_DAY)
    assert len(zones) >= 100 and len(found) >= 600
    return found


def _instant(wall: datetime, zone: ZoneInfo) -> datetime | None:
    """The earlier instant of a wall time (fold=0, PEP 495); None if no clock showed it."""
    instant = wall.replace(tzinfo=zone, fold=0).astimezone(UTC)
    return instant if instant.astimezone(zone).replace(tzinfo=None) == wall else None


def _bare(change: Change) -> Iterator[Sample]:
    """Wall times about the missing or doubled hour, and every quarter of an hour in it."""
    begin, end = sorted((change.at + offset).replace(tzinfo=None)
                        for offset in (change.before, change.after))  # fmt: skip
    inside = [begin + i * QUARTER for i in range((end - begin) // QUARTER)]
    for wall in (begin - MINUTE, *inside, end - MINUTE, end, end + MINUTE):
        yield Sample(change.zone, f"{wall:%Y-%m-%dT%H:%M}", _instant(wall, change.zone))


def _with_offset(change: Change) -> Iterator[Sample]:
    for at in (change.at - MINUTE, change.at, change.at + MINUTE):
        yield Sample(change.zone, at.astimezone(change.zone).isoformat(), at)


def _read(bench: Bench, samples: list[Sample]) -> tuple[dict[int, tuple[object, ...]], list[int]]:
    """Through a file of places and one of air samples: (UTC, wall time) of the accepted records by
    their place in ``samples``, and the places of those that are held back as a missing hour.
    """
    names = sorted({str(sample.zone) for sample in samples})
    bench.feed_file("locations", *({"location_id": name, "time_zone": name} for name in names))
    bench.feed_file("air_samples", *(
        {"sample_id": str(i), "location_id": str(sample.zone), "started_at": sample.written}
        for i, sample in enumerate(samples)
    ))  # fmt: skip
    bench.parse()
    move_held(bench.con, FEEDS["air_samples"])
    account_files(bench.con)
    rejects = bench.rows(
        "select cast(record_key as integer), feed, rule_code, column_name, value "
        "from quality.rejects order by 1"
    )
    assert {row[1:] for row in rejects} <= {
        ("air_samples", "missing_local_hour", "started_at", sample.written) for sample in samples
    }
    held = bench.rows("select cast(sample_id as integer) from held.air_samples order by 1")
    assert held == [row[:1] for row in rejects]
    accepted = bench.rows(
        "select cast(sample_id as integer), started_at, started_at_local from accepted.air_samples"
    )
    assert len(accepted) + len(held) == len(samples)
    return {row[0]: row[1:] for row in accepted}, [row[0] for row in held]


def _expected(samples: list[Sample]) -> dict[int, tuple[object, ...]]:
    return {i: (sample.instant.replace(tzinfo=None), sample.wall)
            for i, sample in enumerate(samples) if sample.instant}  # fmt: skip


def test_a_bare_time_about_a_clock_change_is_its_earlier_instant_or_held_back(
    bench: Bench, changes: list[Change]
) -> None:
    samples = [sample for change in changes for sample in _bare(change)]
    read, held = _read(bench, samples)
    expected = _expected(samples)
    wrong = {f"{sample.zone} {sample.written}": (read.get(i), expected.get(i))
             for i, sample in enumerate(samples) if read.get(i) != expected.get(i)}  # fmt: skip
    assert wrong == {}
    assert held == [i for i, sample in enumerate(samples) if sample.instant is None]
    assert len(held) > 1000


def test_a_time_with_its_offset_is_read_exactly_about_a_clock_change(
    bench: Bench, changes: list[Change]
) -> None:
    samples = [sample for change in changes for sample in _with_offset(change)]
    assert _read(bench, samples) == (_expected(samples), [])


def test_a_time_that_comes_twice_is_marked_with_both_instants_and_no_other_is(
    bench: Bench, changes: list[Change]
) -> None:
    samples = [sample for change in changes for sample in _bare(change)]
    _read(bench, samples)
    marked = dict(
        bench.rows("select cast(record_key as integer), later_at from quality.doubled_times")
    )
    expected = {}
    for i, sample in enumerate(samples):
        wall = datetime.fromisoformat(sample.written)
        later = wall.replace(tzinfo=sample.zone, fold=1).astimezone(UTC)
        if sample.instant is not None and later > sample.instant:
            expected[i] = later.replace(tzinfo=None)
    assert marked == expected
    assert len(marked) > 500


def test_clocks_are_set_back_in_the_hours_that_are_looked_at() -> None:
    names = (line.split()[0] for line in (DATABASE.parent / "zones").read_text().splitlines())
    hours = {
        f"{wall:%H}"
        for name in names
        for change in _changes(_zone(name), *PERIOD)
        if change.after < change.before and change.before - change.after <= timedelta(hours=3)
        for wall in (
            (change.at + change.after).replace(tzinfo=None),
            (change.at + change.before).replace(tzinfo=None) - MINUTE,
        )
    }
    assert hours <= set(NIGHT_HOURS)


#: What the rules of the database say (tzdata 2026f), worked out by hand: neither reader is asked.
WORKED_OUT = [
    # Rule LH: back on the first Sunday of April at 2:00 from +11 to +10:30; on in October.
    ("Australia/Lord_Howe", "2026-04-05T01:45", "2026-04-04 14:45"),
    ("Australia/Lord_Howe", "2026-04-05T02:00", "2026-04-04 15:30"),
    ("Australia/Lord_Howe", "2026-10-04T02:15", None),
    ("Australia/Lord_Howe", "2026-10-04T02:30", "2026-10-03 15:30"),
    # Rule Troll: back on the last Sunday of October at 1:00 UTC from +02 to +00.
    ("Antarctica/Troll", "2026-10-25T01:30", "2026-10-24 23:30"),
    ("Antarctica/Troll", "2026-10-25T02:59", "2026-10-25 00:59"),
    ("Antarctica/Troll", "2026-03-29T02:30", None),
    # Rule Chatham: back on the first Sunday of April at 2:45 of winter time, +13:45 to +12:45.
    ("Pacific/Chatham", "2026-04-05T03:15", "2026-04-04 13:30"),
    ("Pacific/Chatham", "2026-04-05T03:45", "2026-04-04 15:00"),
    # Rule Canada: back on the first Sunday of November at 2:00, -02:30 to -03:30.
    ("America/St_Johns", "2026-11-01T01:30", "2026-11-01 04:00"),
    ("Asia/Kathmandu", "2026-06-01T12:00", "2026-06-01 06:15"),
    # Zone Pacific/Apia: from -10 at the end of 2011-12-29 to +14: 30 December did not happen.
    ("Pacific/Apia", "2011-12-29T23:59", "2011-12-30 09:59"),
    ("Pacific/Apia", "2011-12-30T12:00", None),
    ("Pacific/Apia", "2011-12-31T00:00", "2011-12-30 10:00"),
]


def test_the_odd_changes_are_read_as_worked_out_by_hand(bench: Bench) -> None:
    samples = [
        Sample(_zone(name), written, utc and datetime.fromisoformat(f"{utc}+00:00"))
        for name, written, utc in WORKED_OUT
    ]
    read, held = _read(bench, samples)
    assert {i: str(utc)[:16] for i, (utc, _) in read.items()} == {
        i: utc for i, (_, _, utc) in enumerate(WORKED_OUT) if utc
    }
    assert held == [i for i, (_, _, utc) in enumerate(WORKED_OUT) if utc is None]
