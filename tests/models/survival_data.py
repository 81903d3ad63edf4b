"""A published trial and random cases as grouped times, for the tests of survival."""

import random
from collections.abc import Iterable, Sequence
from typing import Any

#: Time and whether the event was seen (otherwise the case was only seen so long).
Seen = tuple[float, bool]

#: Weeks of remission in acute leukaemia: Freireich and others, Blood 1963, 21:699; as reprinted in
#: many textbooks of survival analysis. A star: still in remission.
TREATED = "6 6 6 6* 7 9* 10 10* 11* 13 16 17* 19* 20* 22 23 25* 32* 32* 34* 35*"
PLACEBO = "1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23"


def trial(text: str) -> list[Seen]:
    return [(float(word.rstrip("*")), not word.endswith("*")) for word in text.split()]


def grouped(rows: Iterable[tuple[Any, ...]], keys: Sequence[str]) -> str:
    """SQL of grouped times: key columns, hours, finished_count, open_count."""
    listed = ", ".join(
        "(" + ", ".join([*(f"'{key}'" for key in row[:-2]), str(row[-2]), str(row[-1])]) + ")"
        for row in rows
    )
    names = ", ".join(keys)
    return (
        f"select {names}, hours, count(case when seen then 1 end) as finished_count, "
        "count(case when not seen then 1 end) as open_count "
        f"from (select {names}, cast(hours as double) as hours, seen from (values {listed}) "
        f"as listed ({names}, hours, seen)) as typed group by {names}, hours"
    )


def random_cases(seed: int, cases: int, slowness: float = 1.0) -> list[Seen]:
    """Cases with ties; open ones seen for a random while."""
    dice = random.Random(seed)
    made: list[Seen] = []
    for _ in range(cases):
        needed, seen_for = dice.expovariate(1 / (12 * slowness)), dice.uniform(0, 40)
        made.append((float(int(min(needed, seen_for)) + 1), needed <= seen_for))
    return made
