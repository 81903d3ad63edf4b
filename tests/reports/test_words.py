"""Numbers, dates and marks as a reader sees them."""

from datetime import date, datetime
from decimal import Decimal

import pytest

from reports import words


@pytest.mark.parametrize(
    ("value", "decimals", "shown"),
    [
        (0, 0, "0"),
        (1234, 0, "1,234"),
        (-0.04, 1, "0.0"),
        (-3, 0, "-3"),
        (Decimal("1234.5"), 2, "1,234.50"),
        (0.5, 1, "0.5"),
    ],
)
def test_numbers_have_a_comma_above_999_and_no_negative_zero(
    value: float, decimals: int, shown: str
) -> None:
    assert words.number(value, decimals) == shown


@pytest.mark.parametrize(
    ("hours", "shown"), [(3.25, "3.2 h"), (52.2, "2 days 4 h"), (24, "1 day"), (48, "2 days")]
)
def test_long_times_are_said_in_days_and_hours(hours: float, shown: str) -> None:
    assert words.duration(hours) == shown


@pytest.mark.parametrize(
    ("day", "label"),
    # ISO 8601: week 1 holds the year's first Thursday. Computed by that rule; 2026 has 53 weeks.
    [
        (date(2005, 1, 1), "2004-W53"),
        (date(2007, 12, 31), "2008-W01"),
        (date(2010, 1, 3), "2009-W53"),
        (date(2026, 12, 28), "2026-W53"),
        (date(2027, 1, 3), "2026-W53"),
        (date(2027, 1, 4), "2027-W01"),
    ],
)
def test_week_labels_follow_iso_8601_at_year_ends(day: date, label: str) -> None:
    assert words.week_label(day) == label


@pytest.mark.parametrize(
    ("utc", "zone", "shown"),
    # The IANA zone rules: New York left daylight saving time on 3 November 2024 at 06:00 UTC.
    [
        (datetime(2024, 11, 3, 5, 30), "America/New_York", "2024-11-03 01:30 -04:00"),
        (datetime(2024, 11, 3, 6, 30), "America/New_York", "2024-11-03 01:30 -05:00"),
        (datetime(2026, 7, 1, 0, 0), "Asia/Kolkata", "2026-07-01 05:30 +05:30"),
        (datetime(2026, 7, 1, 0, 0), "UTC", "2026-07-01 00:00 +00:00"),
    ],
)
def test_instants_stand_on_the_clock_of_their_place_with_offset(
    utc: datetime, zone: str, shown: str
) -> None:
    assert words.clock(utc, zone) == shown


def test_marks_that_reorder_or_hide_text_become_visible_codes() -> None:
    assert words.visible("Ro\u202enat") == "Ro[U+202E]nat"
    assert words.visible("a\u200bb\x00c\u2066d") == "a[U+200B]b[U+0000]c[U+2066]d"
    assert words.visible("first\r\nsecond\tthird") == "first second third"


def test_names_in_any_script_stay_as_they_are() -> None:
    for name in ("Zoë O'Hara-Łuk", "שרה", "محمد", "山田", "Nguyễn"):
        assert words.visible(name) == name


def test_long_text_is_cut_and_says_how_long_it_was() -> None:
    assert words.cut("x" * 5000).endswith("… (5,000 characters; all in the download)")


def test_lists_read_as_a_sentence() -> None:
    assert words.listed(["a", "b", "c"]) == "a, b and c"
    assert words.listed(["a"]) == "a"
