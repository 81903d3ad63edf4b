"""How full each place was, hour by hour: a step line a panel, full as a dashed line."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from reports import words
from reports.charts.figure import MOST_POINTS, Chart, Head, drawn, label
from reports.charts.template import GREY, INK, style

#: More panels than this are no longer compared.
MOST_PANELS = 6
_GAP = 0.05


@dataclass(frozen=True)
class PlaceHours:
    """``hours``: (start of the hour on one clock, most people in it), hour by hour; ``capacity``
    is the room that the place has, at least one."""

    name: str
    slot: int
    capacity: int
    hours: list[tuple[datetime, int]]


def hours_chart(head: Head, places: list[PlaceHours], pages: Mapping[datetime, str]) -> Chart:
    """Shares of the room in percent, so that a small place and a large one have one scale;
    ``pages``: start of an hour -> the page of who was there."""
    shown = places[:MOST_PANELS]
    top_share = max((_share(p, n) for p in shown for _, n in p.hours), default=0.0)
    most = max(100.0, top_share) * 1.35
    height = (1 - _GAP * (len(shown) - 1)) / max(1, len(shown))
    data: list[dict[str, object]] = []
    layout: dict[str, object] = {
        "xaxis": {"type": "date", "tickformat": "%d %b", "nticks": 8, "tickangle": 0,
                  "anchor": f"y{max(1, len(shown))}"},
        "margin": {"l": 56, "r": 16, "t": 8, "b": 40},
    }  # fmt: skip
    notes, lines = [], []
    for row, place in enumerate(shown):
        top = 1 - row * (height + _GAP)
        axis = "" if row == 0 else str(row + 1)
        layout[f"yaxis{axis}"] = {
            "domain": [max(0.0, top - height), top], "range": [0, most],
            "tickvals": [0, 50, 100],
            "title": {"text": "full (%)" if row == len(shown) // 2 else ""},
        }  # fmt: skip
        data.append(_steps(place, f"y{axis}", MOST_POINTS // max(1, len(shown)), pages))
        lines.append({
            "type": "line", "xref": "paper", "x0": 0, "x1": 1, "yref": f"y{axis}",
            "y0": 100, "y1": 100, "line": {"color": GREY, "width": 1.5, "dash": "dash"},
        })  # fmt: skip
        notes.append({
            "x": 0, "xref": "paper", "xanchor": "left", "xshift": 4, "y": top, "yref": "paper",
            "yanchor": "top", "showarrow": False,
            "text": f"{label(place.name)}, room for {words.number(place.capacity)}",
            "font": {"color": INK, "size": 14},
        })  # fmt: skip
    layout["annotations"], layout["shapes"] = notes, lines
    size = "medium" if len(shown) <= 2 else "tall" if len(shown) <= 3 else "taller"
    return drawn(head, _summary(shown), data, layout, size)


def _steps(
    place: PlaceHours, axis: str, most: int, pages: Mapping[datetime, str]
) -> dict[str, object]:
    """Only the hours in which the number changes, and the end of the last."""
    changes = place.hours[:1] + [b for a, b in pairwise(place.hours) if a[1] != b[1]]
    kept = changes[-most:]
    if place.hours:
        end = place.hours[-1]
        kept = [*kept, (end[0] + timedelta(hours=1), end[1])]
    look = style(place.slot)
    return {
        "type": "scatter", "mode": "lines", "yaxis": axis,
        "x": [f"{at:%Y-%m-%d %H:%M}" for at, _ in kept],
        "y": [round(_share(place, n), 1) for _, n in kept],
        "line": {"color": look.colour, "width": 2, "shape": "hv"},
        "customdata": [pages.get(at, "") for at, _ in kept],
        "hovertemplate": "%{x}: %{y}%<extra></extra>",
    }  # fmt: skip


def _share(place: PlaceHours, people: int) -> float:
    return 100 * people / place.capacity


def _summary(places: list[PlaceHours]) -> str:
    peaks = [
        f"{words.visible(p.name)} at most {max((n for _, n in p.hours), default=0)}" for p in places
    ]
    return f"{words.counted(len(places), 'panel')}, one a place: {words.listed(peaks)} people."
