"""Who shares a storage unit or a chamber, against an interval tree (intervaltree, from PyPI)."""

import random
from collections import defaultdict
from datetime import datetime, timedelta

import pytest
from intervaltree import IntervalTree

from tests.models.conftest import EmptyBuild
from validation.catalogue import catalogue

_BEGUN = datetime(2026, 6, 1)
_AS_OF = datetime(2026, 11, 16, 12)
Stay = tuple[str, str, str, datetime, datetime | None]


def _stays(seed: int) -> list[Stay]:
    """Case, event, unit, start and end: nobody lies in two places at once; some never left."""
    dice = random.Random(seed)
    made: list[Stay] = []
    for case in range(40):
        at = _BEGUN + timedelta(minutes=dice.randrange(0, 300, 5))
        for event in range(dice.randrange(1, 4)):
            end = at + timedelta(minutes=dice.randrange(0, 90, 5))
            is_last = event == 2 and dice.random() < 0.3
            unit = f"U{dice.randrange(1, 7)}"
            made.append((f"C{case:02}", f"E{case:02}-{event}", unit, at, None if is_last else end))
            at = end + timedelta(minutes=dice.randrange(0, 60, 5))
    return made


def _shared(stays: list[Stay]) -> dict[str, set[str]]:
    """Event of a stay that begins while others are in the unit -> events of those others.

    Half-open intervals, as the tree has them: who comes in the minute in which another leaves does
    not meet them. Of two that begin together the later by case and event is told.
    """
    trees: defaultdict[str, IntervalTree] = defaultdict(IntervalTree)
    for case, event, unit, begin, end in stays:
        if (end or _AS_OF) > begin:
            trees[unit].addi(begin, end or _AS_OF, (begin, case, event))
    found: dict[str, set[str]] = {}
    for case, event, unit, begin, end in stays:
        if (end or _AS_OF) <= begin:
            continue
        others = {
            other.data[2]
            for other in trees[unit].at(begin)
            if other.data < (begin, case, event) and other.data[1] != case
        }
        if others:
            found[event] = others
    return found


@pytest.mark.parametrize("seed", range(12))
def test_stays_that_meet_are_those_of_the_interval_tree(
    empty_build: EmptyBuild, seed: int
) -> None:
    stays = _stays(seed)
    listed = ", ".join(
        f"('{case}', '{event}', '{unit}', '{begin}'::timestamp, "
        + (f"'{end}'::timestamp)" if end else "null::timestamp)")
        for case, event, unit, begin, end in stays
    )
    rows = empty_build.rows(
        "with stays as (select case_number, event_id, 'CARE' as place_id, storage_unit, "
        "started_at, started_at as started_at_local, ended_at, false as is_held, 'f' as file_id, "
        "1 as line "
        f"from (values {listed}) as v (case_number, event_id, storage_unit, started_at, ended_at)) "
        "select event_id, other_event_id from ({{ overlapping_stays('stays') }})"
    )
    expected = _shared(stays)
    assert {str(event) for event, _ in rows} == set(expected)
    assert all(other in expected[str(event)] for event, other in rows)
    assert len(rows) == len(expected) > 0


def test_what_puts_the_census_in_doubt_are_rules_of_the_catalogue(empty_build: EmptyBuild) -> None:
    rules = catalogue()
    for macro in ("contradicting_rules", "unproving_rules", "rules_of_two_people"):
        (codes,) = empty_build.rows(f"select {{{{ {macro}() }}}}")[0]
        assert len(codes) > 2
        for code in codes:
            assert rules[code].family in {"identity", "place"}, code
            assert rules[code].effect == "reported"
