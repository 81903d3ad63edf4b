"""Is a change more than chance: individuals and moving range chart of a weekly figure.

Limits are the mean plus and minus 3 times the mean moving range over d2 = 1.128 (NIST/SEMATECH
e-Handbook 6.3.2.2). They come from earlier weeks, never from the weeks that are judged. A missing
week is a gap: no moving range bridges it. Signals: a point outside the limits, an unusually long
run
on one side of the centre, unusually few crossings of it (PLoS ONE 2014, 9(11) e113825).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import comb, log2

#: d2 for ranges of two points: 2 / sqrt(pi).
D2 = 1.128
#: A centre line means something from about ten points (NHS Education for Scotland, run charts).
FEWEST_POINTS = 10


@dataclass(frozen=True)
class UsualRange:
    """Centre and limits in the unit of the values; ``points`` says how many made them."""

    centre: float
    lower: float
    upper: float
    points: int


def usual_range(values: Sequence[float | None]) -> UsualRange | None:
    """Limits from values in time order; None where fewer than ten of them are known."""
    known = [v for v in values if v is not None]
    moves = [abs(b - a) for a, b in pairwise(values) if a is not None and b is not None]
    if len(known) < FEWEST_POINTS or not moves:
        return None
    centre = sum(known) / len(known)
    reach = 3 * (sum(moves) / len(moves)) / D2
    return UsualRange(centre, centre - reach, centre + reach, len(known))


def signals(values: Sequence[float | None], usual: UsualRange) -> list[str]:
    """Which rules the values break, in words; empty: within what chance gives."""
    known = [v for v in values if v is not None]
    broken = []
    outside = sum(not usual.lower <= v <= usual.upper for v in known)
    if outside:
        broken.append(f"{outside} of {len(known)} weeks outside the limits")
    # A point on the line is on neither side and does not end a run.
    sides = [v > usual.centre for v in known if v != usual.centre]
    if len(sides) >= FEWEST_POINTS:
        run = _longest_run(sides)
        if run > round(log2(len(sides)) + 3):
            broken.append(f"{run} weeks in a row on one side of the centre")
        crossings = sum(a != b for a, b in pairwise(sides))
        if crossings < fewest_crossings(len(sides)):
            broken.append(f"only {crossings} crossings of the centre")
    return broken


def _longest_run(sides: list[bool]) -> int:
    longest = current = 1
    for a, b in pairwise(sides):
        current = current + 1 if a == b else 1
        longest = max(longest, current)
    return longest


def fewest_crossings(points: int) -> int:
    """The lower 5% point of the crossings that ``points`` values make by chance (binomial, 1/2)."""
    trials = points - 1
    total = 0
    for crossings in range(trials + 1):
        total += comb(trials, crossings)
        if total / 2**trials >= 0.05:
            return crossings
    return trials
