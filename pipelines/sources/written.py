"""How a source writes days and numbers, as SQL over the text of one column.

Each gives text in the declared form of the feed, or leaves alone what it does not know, so that the
one strict reader still judges it.
"""

from pipelines.sqltext import literal

_DAY_IN_ORDER = r"(\d{1,2})[/.-](\d{1,2})[/.-](\d{4})(.*)"
_CLOCK_12 = r"[ T](0?[1-9]|1[0-2]):([0-5]\d(?::[0-5]\d)?) ?([AaPp])[Mm]"
_CLOCK_SHORT = r"[ T](\d):([0-5]\d.*)"
#: Which part of the pattern is the month and which the day.
_PLACES = {"month/day/year": (1, 2), "day/month/year": (2, 1)}


def as_iso(t: str, order: str) -> str:
    """Dates of the declared order, with or without a time, as year-month-day; others as they are.

    The order is never guessed: a text that is no day in that order stays and is refused.
    """
    if order not in _PLACES:
        return t
    month, day = _PLACES[order]
    rest = _part(t, _DAY_IN_ORDER, 4)
    iso = (
        f"{_part(t, _DAY_IN_ORDER, 3)} || '-' || lpad({_part(t, _DAY_IN_ORDER, month)}, 2, '0') "
        f"|| '-' || lpad({_part(t, _DAY_IN_ORDER, day)}, 2, '0') || {_clock(rest)}"
    )
    return f"(case when regexp_full_match({t}, {literal(_DAY_IN_ORDER)}) then {iso} else {t} end)"


def _clock(rest: str) -> str:
    """A time of the 12 hour clock, or of one digit, as two digits of 24 hours."""
    hour = (
        f"cast(try_cast({_part(rest, _CLOCK_12, 1)} as integer) % 12 "
        f"+ case when lower({_part(rest, _CLOCK_12, 3)}) = 'p' then 12 else 0 end as varchar)"
    )
    return (
        f"case when regexp_full_match({rest}, {literal(_CLOCK_12)}) "
        f"then ' ' || lpad({hour}, 2, '0') || ':' || {_part(rest, _CLOCK_12, 2)} "
        f"when regexp_full_match({rest}, {literal(_CLOCK_SHORT)}) "
        f"then ' 0' || substr({rest}, 2) else {rest} end"
    )


def order_hint(t: str) -> str:
    """WHEN branches that tell a day whose order is unclear from one that fits a single order."""
    first, second = (
        f"try_cast({_part(t, _DAY_IN_ORDER, group)} as integer)" for group in (1, 2)
    )
    shape = f"when regexp_full_match({t}, {literal(_DAY_IN_ORDER)})"
    declare = "the order is declared in the settings of its source. "
    return (
        f"{shape} and {first} between 1 and 12 and {second} between 1 and 12 "
        f"then {literal('Could be month/day/year or day/month/year: ' + declare)} "
        f"{shape} and {first} between 13 and 31 and {second} between 1 and 12 "
        f"then {literal('Fits only day/month/year: ' + declare)} "
        f"{shape} and {first} between 1 and 12 and {second} between 13 and 31 "
        f"then {literal('Fits only month/day/year: ' + declare)}"
    )


def as_point_decimal(t: str, decimal: str) -> str:
    """A number written with a comma for decimals, written with a point."""
    return f"translate({t}, ',.', '.,')" if decimal == "comma" else t


def _part(t: str, pattern: str, group: int) -> str:
    return f"regexp_extract({t}, {literal('^' + pattern + '$')}, {group})"
