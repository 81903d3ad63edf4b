"""Shares against the number of cases behind them, with the limits of chance: a funnel.

A place inside the outer limits does not differ from the group by more than chance gives; places are
labelled and never ranked (Stat Med 2005;24:1185).
"""

from dataclasses import dataclass

from reports import words
from reports.charts.figure import Chart, Head, drawn, hover_label, label, note_at
from reports.charts.template import GREY, INK, style
from reports.intervals import binomial_limits

#: Probability outside the inner limits: 95 % lie between. That of the outer ones is this, divided
#: by how many shares are judged at once.
INNER = 0.05
#: Fewer cases than this are counted and not judged.
FEWEST = 10
_POINTS = 50


@dataclass(frozen=True)
class FunnelPoint:
    name: str
    slot: int
    cases: int
    share: float


def outside(point: FunnelPoint, group_share: float, tests: int) -> str:
    """``within what chance gives``; beyond the line of 95 %, which is a reason to look; or more
    than chance, with all the ``tests`` shares that are judged at once allowed for."""
    for chance, said in (
        (INNER / max(tests, 1), "more than chance, {}"), (INNER, "beyond the 95% line, {}: look"),
    ):  # fmt: skip
        low, high = binomial_limits(point.cases, group_share, chance)
        if not low <= point.share <= high:
            return said.format("above" if point.share > high else "below")
    return "within what chance gives"


def funnel_chart(
    head: Head, points: list[FunnelPoint], group_share: float, tests: int
) -> Chart:
    """Exact binomial limits about the group's share, the outer ones for so many ``tests``; shares
    in percent."""
    outer = INNER / max(tests, 1)
    most = max(point.cases for point in points)
    steps = sorted({max(1, round(most * 1.2 * i / _POINTS)) for i in range(1, _POINTS + 1)})
    data = [
        _limit(steps, side, dash)
        for chance, dash in ((INNER, "dash"), (outer, "dot"))
        for side in zip(*(binomial_limits(n, group_share, chance) for n in steps), strict=True)
    ]
    data += [_dot(point) for point in points]
    low, high = _range(points, group_share, outer)
    layout: dict[str, object] = {
        "xaxis": {"rangemode": "tozero", "title": {"text": "cases"}, "nticks": 7},
        "yaxis": {"title": {"text": "share (%)"}, "range": [low, high], "nticks": 6},
        "shapes": [{
            "type": "line", "xref": "paper", "x0": 0, "x1": 1, "y0": 100 * group_share,
            "y1": 100 * group_share, "line": {"color": GREY, "width": 1.5},
        }],
        "annotations": _names(points, (high - low) * 0.07, steps[-1]),
        "margin": {"l": 56, "r": 120, "t": 8, "b": 48},
    }  # fmt: skip
    said = [f"{words.visible(p.name)} {words.share(p.share)} of {p.cases}" for p in points]
    summary = f"Funnel about {words.number(100 * group_share, 1)}%: {words.listed(said)}."
    return drawn(head, summary, data, layout, "medium")


def _range(
    points: list[FunnelPoint], group_share: float, outer: float
) -> tuple[float, float]:
    """What is worth seeing: the points, and the outer limits at the smallest place."""
    fewest = min(point.cases for point in points)
    seen = [*binomial_limits(fewest, group_share, outer), *(point.share for point in points)]
    room = 100 * max(0.02, (max(seen) - min(seen)) * 0.15)
    return max(-3.0, 100 * min(seen) - room), min(103.0, 100 * max(seen) + room)


def _names(points: list[FunnelPoint], apart: float, widest: int) -> list[dict[str, object]]:
    """A name beside each point; where another name or point is in its way it is moved up, and a
    line leads to its point."""
    notes: list[dict[str, object]] = []
    last = float("-inf")
    for point in sorted(points, key=lambda p: (p.share, p.name)):
        own = 100 * point.share
        last = max(own, last + apart)
        while any(_covers(point, last, apart, other) for other in points):
            last += apart / 2
        note = note_at(point.cases, last, label(point.name), INK)
        notes.append(note if last == own else note | _leader(point, last, widest))
    return notes


def _covers(point: FunnelPoint, y: float, apart: float, other: FunnelPoint) -> bool:
    """Whether the name of ``point`` at that height lies over the mark of another to its right."""
    near = abs(100 * other.share - y) < apart * 0.8
    return other is not point and other.cases >= point.cases and near


def _leader(point: FunnelPoint, y: float, widest: int) -> dict[str, object]:
    return {
        "showarrow": True, "arrowhead": 0, "arrowwidth": 1, "arrowcolor": GREY, "xshift": 0,
        "x": point.cases, "y": 100 * point.share, "axref": "x", "ayref": "y",
        "ax": point.cases + widest * 0.02, "ay": y,
    }  # fmt: skip


def _limit(steps: list[int], shares: tuple[float, ...], dash: str) -> dict[str, object]:
    return {
        "type": "scatter", "mode": "lines", "hoverinfo": "skip", "x": steps,
        "y": [round(100 * share, 2) for share in shares],
        "line": {"color": GREY, "width": 1.5, "dash": dash},
    }  # fmt: skip


def _dot(point: FunnelPoint) -> dict[str, object]:
    look = style(point.slot)
    return {
        "type": "scatter", "mode": "markers", "x": [point.cases],
        "y": [round(100 * point.share, 2)],
        "marker": {"symbol": look.symbol, "size": 11, "color": look.colour,
                   "line": {"color": "white", "width": 1}},
        "hovertemplate": f"{hover_label(point.name)}: %{{y}}% of %{{x}}<extra></extra>",
    }  # fmt: skip
