"""Numbers, dates and names as a reader sees them.

One English form for each: digits for every count, a comma above 999, months written out, hours with
one decimal. Names of months are ours because the machine's locale must not change a page.
"""

import re
import unicodedata
from datetime import date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

from pipelines.counted import counted as counted  # noqa: PLC0414  (pages say counts as commands do)

#: The feeds carry no currency column; the price rules that the pages apply are those of 16 CFR 453.
CURRENCY = "USD"
#: Text in a cell longer than this is cut on the page; the download has all of it.
LONGEST_CELL = 240

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def number(value: float | Decimal, decimals: int = 0) -> str:
    """``1234.5`` -> ``1,234.5``; a value that rounds to zero has no minus sign."""
    text = f"{value:,.{decimals}f}"
    return text.lstrip("-") if not any(c in "123456789" for c in text) else text


def is_whole(value: float | Decimal) -> bool:
    """Whether a quantity reads as a whole number at two decimals."""
    return round(value, 2) == round(value)


def quantity(value: float | Decimal) -> str:
    """``3`` -> ``3``; ``2.5`` -> ``2.50``."""
    return number(value, 0 if is_whole(value) else 2)


def are(value: int) -> str:
    """The verb for a count: ``1 case is``, ``2 cases are``."""
    return "is" if value == 1 else "are"


def were(value: int) -> str:
    """The verb for a count: ``1 person was``, ``2 people were``."""
    return "was" if value == 1 else "were"


def verb(value: int, of_one: str, of_more: str) -> str:
    """The verb for a count: ``1 waits``, ``2 wait``."""
    return of_one if value == 1 else of_more


def hours(value: float) -> str:
    return f"{number(value, 1)} h"


def duration(value: float) -> str:
    """Hours as days and hours, for sentences: ``52.2`` -> ``2 days 4 h``."""
    whole = round(abs(value))
    days, rest = divmod(whole, 24)
    if days == 0:
        return f"{number(abs(value), 1)} h"
    return f"{counted(days, 'day')} {rest} h" if rest else counted(days, "day")


def money(value: float | Decimal) -> str:
    return f"{number(value, 2)} {CURRENCY}"


def share(value: float) -> str:
    return f"{number(100 * value)}%"


def day(value: date) -> str:
    """``16 November 2026``."""
    return f"{value.day} {_MONTHS[value.month - 1]} {value.year}"


def month(value: date) -> str:
    return f"{_MONTHS[value.month - 1]} {value.year}"


def week_label(monday: date) -> str:
    """ISO 8601 week of a date: ``2026-W47``."""
    year, week, _ = monday.isocalendar()
    return f"{year}-W{week:02d}"


def week(monday: date) -> str:
    return f"week of {day(monday)} ({week_label(monday)})"


def local(instant: datetime, zone: str) -> datetime:
    """A naive UTC instant of the warehouse on the wall clock of ``zone``."""
    return instant.replace(tzinfo=ZoneInfo("UTC")).astimezone(ZoneInfo(zone))


def clock(instant: datetime, zone: str) -> str:
    """``2026-11-09 14:05 -06:00``: the local clock of the place, with its offset."""
    at = local(instant, zone)
    offset = at.utcoffset() or timedelta()
    sign = "-" if offset < timedelta() else "+"
    minutes = int(abs(offset).total_seconds()) // 60
    return f"{at:%Y-%m-%d %H:%M} {sign}{minutes // 60:02d}:{minutes % 60:02d}"


def spoken_clock(instant: datetime, zone: str) -> str:
    """``16 November 2026, 06:00 (America/Chicago)`` for the as-of line."""
    at = local(instant, zone)
    return f"{day(at.date())}, {at:%H:%M} ({zone})"


def visible(text: str) -> str:
    """The text with every control, format, private and unassigned character as a visible code.

    A right-to-left override or a zero-width mark in a name must not reorder or hide what stands
    next to it (Unicode categories Cc, Cf, Co, Cs and Cn; line breaks inside prose become spaces).
    """
    if text.isascii() and text.isprintable():
        return text
    flat = re.sub(r"[\r\n\t]+", " ", text)
    return "".join(
        f"[U+{ord(c):04X}]"
        if unicodedata.category(c) in {"Cc", "Cf", "Co", "Cs", "Cn", "Zl", "Zp"}
        else c
        for c in flat
    )


def cut(text: str) -> str:
    """Visible text that fits a cell; says how long it was when it was cut."""
    shown = visible(text)
    if len(shown) <= LONGEST_CELL:
        return shown
    return f"{shown[:LONGEST_CELL]}… ({number(len(text))} characters; all in the download)"


def plain(code: str) -> str:
    """A code as words: ``casket_range_contradicts`` -> ``casket range contradicts``."""
    return code.replace("_", " ")


#: What pages call the states of ``custody_status``: whether records of the chain are held back. How
#: sure it is where somebody is (proven or not) is the certainty of the census alone.
CHAIN_RECORDS = {"proven": "whole", "not proven": "held back", "no events": "no events"}


def listed(items: list[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} and {items[-1]}"
