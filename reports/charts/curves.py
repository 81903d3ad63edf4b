"""Who still waits, hour by hour: falling steps, one curve with its interval, and a panel a home."""

from dataclasses import dataclass
from itertools import pairwise

from reports import words
from reports.charts.figure import MOST_POINTS, Chart, Head, drawn, label
from reports.charts.template import BAND, GREY, INK, style

#: More panels than this are no longer compared.
MOST_PANELS = 6
_GAP = 0.05
#: The other curve of a panel: behind, and still 3:1 on white (WCAG 2.2, 1.4.11).
_BEHIND = "#8a8a8a"


@dataclass(frozen=True)
class Point:
    """Shares 0 to 1 after so many hours; the ends are None where there is no interval."""

    hours: float
    share: float
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Curve:
    """``points`` by hours, the first at 0; ``begun`` the cases behind it."""

    name: str
    slot: int
    begun: int
    points: list[Point]


def curve_chart(head: Head, curve: Curve, ticks: list[float]) -> Chart:
    """One curve and its interval as a band; ``ticks`` are the hours that the tables name."""
    sure = [p for p in curve.points if p.low is not None and p.high is not None]
    edge = {"type": "scatter", "mode": "lines", "hoverinfo": "skip", "x": [p.hours for p in sure]}
    data: list[dict[str, object]] = [
        {**edge, "y": [_percent(p.high) for p in sure],
         "line": {"width": 0, "color": BAND, "shape": "hv"}},
        {**edge, "y": [_percent(p.low) for p in sure], "fill": "tonexty", "fillcolor": BAND,
         "line": {"width": 0, "color": BAND, "shape": "hv"}},
        _steps(curve.points, style(0).colour, "solid", 2.5, ""),
    ]  # fmt: skip
    layout: dict[str, object] = {
        "xaxis": _hours_axis(curve.points[-1].hours, ticks, "y"),
        "yaxis": {"title": {"text": "still waiting (%)"}, "range": [0, 104], "nticks": 6},
        "shapes": [_half("y")],
        "margin": {"l": 56, "r": 24, "t": 8, "b": 64},
    }
    return drawn(head, _summary([curve]), data, layout)


def home_curves_chart(head: Head, group: Curve, homes: list[Curve], ticks: list[float]) -> Chart:
    """A panel a home with the curve of all homes behind it; the same scales in all."""
    shown = homes[:MOST_PANELS]
    height = (1 - _GAP * (len(shown) - 1)) / max(1, len(shown))
    most = (MOST_POINTS // max(1, len(shown)) - len(ticks)) // 2
    last = f"y{len(shown)}" if len(shown) > 1 else "y"
    longest = max((home.points[-1].hours for home in shown), default=1.0)
    data: list[dict[str, object]] = []
    layout: dict[str, object] = {
        "xaxis": _hours_axis(longest, ticks, last),
        "margin": {"l": 56, "r": 24, "t": 8, "b": 64},
    }
    notes, lines = [], []
    for row, home in enumerate(shown):
        top = 1 - row * (height + _GAP)
        axis = "" if row == 0 else str(row + 1)
        layout[f"yaxis{axis}"] = {
            "domain": [max(0.0, top - height), top], "range": [0, 112],
            "tickvals": [0, 50, 100],
            "title": {"text": "still waiting (%)" if row == len(shown) // 2 else ""},
        }  # fmt: skip
        look = style(home.slot)
        data += [
            _steps(_few(group.points, most), _BEHIND, "solid", 1.5, axis),
            _steps(_few(home.points, most), look.colour, look.dash, 2.5, axis),
            _marks(home, ticks, axis),
        ]
        lines.append(_half(f"y{axis}"))
        notes.append({
            "x": 1, "xref": "paper", "xanchor": "right", "y": top, "yref": "paper",
            "yanchor": "top", "showarrow": False, "font": {"color": INK, "size": 14},
            "text": f"{label(home.name)}, {words.number(home.begun)} begun",
        })  # fmt: skip
    layout["annotations"], layout["shapes"] = notes, lines
    size = "medium" if len(shown) <= 1 else "tall" if len(shown) <= 2 else "taller"
    return drawn(head, _summary(shown), data, layout, size)


def _steps(
    points: list[Point], colour: str, dash: str, width: float, axis: str
) -> dict[str, object]:
    return {
        "type": "scatter", "mode": "lines", "yaxis": f"y{axis}",
        "x": [p.hours for p in points], "y": [_percent(p.share) for p in points],
        "line": {"color": colour, "dash": dash, "width": width, "shape": "hv"},
        "hovertemplate": "%{x:.0f} h: %{y}%<extra></extra>",
    }  # fmt: skip


def _marks(curve: Curve, ticks: list[float], axis: str) -> dict[str, object]:
    """The home's own marker where the table has a figure."""
    at = [p for p in curve.points if p.hours in ticks]
    look = style(curve.slot)
    return {
        "type": "scatter", "mode": "markers", "yaxis": f"y{axis}", "hoverinfo": "skip",
        "x": [p.hours for p in at], "y": [_percent(p.share) for p in at], "cliponaxis": False,
        "marker": {"symbol": look.symbol, "size": 9, "color": look.colour,
                   "line": {"color": "white", "width": 1}},
    }  # fmt: skip


def _few(points: list[Point], most: int) -> list[Point]:
    """The points at which the curve falls and its ends; of still too many every so manieth."""
    falls = points[:1] + [b for a, b in pairwise(points) if a.share != b.share]
    inner = falls[:: -(-len(falls) // max(1, most - 1))]
    return inner if inner[-1:] == points[-1:] else inner + points[-1:]


def _hours_axis(end: float, ticks: list[float], anchor: str) -> dict[str, object]:
    at = [0.0, *(t for t in ticks if t <= end)]
    return {
        "range": [0, end * 1.02 or 1], "tickvals": at, "tickangle": 0, "anchor": anchor,
        "ticktext": [f"{words.number(t)}<br>{words.counted(round(t / 24), 'day')}" for t in at],
        "title": {"text": "hours since the first call"},
    }  # fmt: skip


def _half(axis: str) -> dict[str, object]:
    return {
        "type": "line", "xref": "paper", "x0": 0, "x1": 1, "yref": axis, "y0": 50, "y1": 50,
        "line": {"color": GREY, "width": 1, "dash": "dot"}, "layer": "below",
    }  # fmt: skip


def _percent(share: float | None) -> float | None:
    return None if share is None else round(100 * share, 2)


def _summary(curves: list[Curve]) -> str:
    said = [
        f"{words.visible(c.name)} falls from 100% to {words.share(c.points[-1].share)} after "
        f"{words.hours(c.points[-1].hours)}"
        for c in curves
    ]
    return f"Steps of the share still waiting: {words.listed(said)}."
