"""Does a home differ by more than chance: one verdict for each share and home, and for its pace.

Each verdict allows for how many are given at once (Bonferroni): of thirty shares that differ by
chance alone one or two lie beyond the 95 % line, which is therefore a reason to look and no more.
"""

from dataclasses import dataclass

from reports.charts.funnel import FEWEST, FunnelPoint, outside
from reports.titles import Fact, Title, When, say
from reports.warehouse import Warehouse, literal
from reports.words import listed, number, share

MORE, LOOK = "more than chance", "beyond the 95% line"
#: Measures of ``home_shares`` as a title names them.
_NAMED = {
    "within target": "cases within target",
    "custody fault": "cases with a fault of custody",
    "record held back": "cases with a record held back",
}


@dataclass(frozen=True)
class ShareVerdict:
    """``events`` of ``cases`` at one home; ``tests``: how many shares are judged at once."""

    measure: str
    location_id: str
    cases: int
    events: int
    share: float
    group_share: float
    tests: int

    @property
    def is_worse(self) -> bool:
        """Fewer within target, or more with a fault: what a title names first."""
        return (self.measure == "within target") == (self.share < self.group_share)

    @property
    def verdict(self) -> str:
        if self.cases < FEWEST:
            return "too few to judge"
        point = FunnelPoint(self.location_id, 0, self.cases, self.share)
        return outside(point, self.group_share, self.tests)


def share_verdicts(warehouse: Warehouse) -> list[ShareVerdict]:
    rows = warehouse.rows(
        "select measure, location_id, case_count, event_count, share, group_share, judged_count "
        "from marts.home_shares order by measure, location_id"
    )
    return [
        ShareVerdict(str(measure), str(place), int(str(cases)), int(str(events)),
                     float(str(part)), float(str(whole)), int(str(tests)))
        for measure, place, cases, events, part, whole, tests in rows
    ]  # fmt: skip


def paces_beyond_chance(warehouse: Warehouse, step: str) -> list[tuple[str, str]]:
    """Homes whose pace in the step differs by more than chance, and how."""
    rows = warehouse.rows(
        "select location_id, case when observed_count > expected_count then 'sooner' else 'later' "
        f"end from marts.homes_against_the_rest where step_code = {literal(step)} "
        "and p_value < 0.05 / greatest(homes_compared_count, 1) order by location_id"
    )
    return [(str(place), str(how)) for place, how in rows]


def chance_title(warehouse: Warehouse, step: str) -> Title:
    """What differs by more than chance, else what is worth a look."""
    verdicts = sorted(
        share_verdicts(warehouse), key=lambda v: (not v.is_worse, -abs(v.share - v.group_share))
    )
    sure = [v for v in verdicts if v.verdict.startswith(MORE)]
    paces = paces_beyond_chance(warehouse, step)
    if sure:
        pace = _pace(warehouse, paces, "; pace does not")
        others = ", as do other shares" if sure[1:] else ""
        return _capital(Title((*_differs(warehouse, sure[0]), others, *pace)))
    looks = [v for v in verdicts if v.verdict.startswith(LOOK)]
    worth: tuple[str | Fact | When, ...] = ()
    if looks:
        worth = say(
            "; worth a look are the {named} at {home} ({events} of {cases}; all homes {whole})",
            **_values(warehouse, looks[0]),
        ).parts
    if paces:
        return Title(("No share of cases differs by more than chance",
                      *_pace(warehouse, paces, ""), *worth))  # fmt: skip
    return Title(("No home differs by more than chance, in shares of cases or in pace", *worth))


def _pace(
    warehouse: Warehouse, paces: list[tuple[str, str]], none: str
) -> tuple[str | Fact | When, ...]:
    if not paces:
        return (none,)
    told = [f"{warehouse.name_of(place)} ({how})" for place, how in paces]
    return ("; pace differs by more than chance at ", When(listed(told)))


def chance_lines(warehouse: Warehouse, step: str) -> list[str]:
    """One sentence for each share that lies beyond the 95 % line, and each pace beyond chance."""
    lines = [
        f"{_NAMED.get(v.measure, v.measure).capitalize()} at "
        f"{warehouse.name_of(v.location_id)}: {number(v.events)} of {number(v.cases)} "
        f"({share(v.share)}; all homes {share(v.group_share)}): {v.verdict}."
        for v in share_verdicts(warehouse)
        if v.verdict.startswith((MORE, LOOK))
    ]
    paces = [
        f"Pace from first call to final disposition at {warehouse.name_of(place)}: {how}, by more "
        "than chance."
        for place, how in paces_beyond_chance(warehouse, step)
    ]
    return [*lines, *(paces or ["The pace of no home differs by more than chance."])]


def _differs(warehouse: Warehouse, verdict: ShareVerdict) -> tuple[str | Fact | When, ...]:
    return say(
        "{named} at {home} differ by more than chance ({events} of {cases}; all homes {whole})",
        **_values(warehouse, verdict),
    ).parts


def _values(warehouse: Warehouse, verdict: ShareVerdict) -> dict[str, str | Fact | When]:
    row = (
        f"from marts.home_shares where measure = {literal(verdict.measure)} "
        f"and location_id = {literal(verdict.location_id)}"
    )
    return {
        "named": _NAMED.get(verdict.measure, verdict.measure),
        "home": _home(warehouse, verdict.location_id),
        "events": warehouse.fact(f"select event_count {row}", number),
        "cases": warehouse.fact(f"select case_count {row}", number),
        "whole": warehouse.fact(f"select 100 * group_share {row}", lambda v: f"{number(v)}%"),
    }


def _home(warehouse: Warehouse, place: str) -> When:
    return When(warehouse.name_of(place))


def _capital(title: Title) -> Title:
    first, *rest = title.parts
    return Title((first[0].upper() + first[1:], *rest) if isinstance(first, str) else title.parts)
