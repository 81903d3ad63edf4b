"""One case in time: lanes are holders, a bar is time held, a mark is a handover, a gap stays empty.

Time is linear: equal spacing would hide the long waits. The table of the same legs is the record.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from reports import words
from reports.charts.figure import Chart, Head, drawn, label
from reports.charts.template import ACCENT, GREY, INK


@dataclass(frozen=True)
class Leg:
    """Times are on the clock of the place. ``ended`` None: still there at the as-of time."""

    holder: str
    started: datetime
    ended: datetime | None
    handover: str


@dataclass(frozen=True)
class Gap:
    holder: str
    started: datetime
    minutes: float


#: How to read it, for the note under the picture.
KEY = (
    "Filled mark: both sides of the handover are recorded; dotted ring: one side; ring: none. "
    "A dotted bar is not ended. An outlined box is a gap, with its length."
)
#: Both sides signed, one side, none (the half-filled sign has no plotly symbol).
_SYMBOLS = {"both": "circle", "one": "circle-open-dot", "none": "circle-open"}


def timeline(head: Head, legs: list[Leg], gaps: list[Gap], now: datetime) -> Chart:
    """``now`` is the as-of instant on the same clock; open legs run to it."""
    lanes = list(dict.fromkeys([leg.holder for leg in legs] + [gap.holder for gap in gaps]))
    names = {lane: label(lane) for lane in lanes}
    data: list[dict[str, object]] = []
    for leg in legs:
        end = leg.ended or max(now, leg.started)
        data.append({
            "type": "scatter", "mode": "lines", "x": [_text(leg.started), _text(end)],
            "y": [names[leg.holder]] * 2, "hoverinfo": "skip",
            "line": {"color": GREY, "width": 12, "dash": "solid" if leg.ended else "dot"},
        })  # fmt: skip
    marked = [leg for leg in legs if leg.handover in _SYMBOLS]
    data.append({
        "type": "scatter", "mode": "markers", "x": [_text(leg.started) for leg in marked],
        "y": [names[leg.holder] for leg in marked], "hoverinfo": "skip", "cliponaxis": False,
        "marker": {"size": 13, "color": INK, "symbol": [_SYMBOLS[m.handover] for m in marked],
                   "line": {"width": 2, "color": INK}},
    })  # fmt: skip
    layout: dict[str, object] = {
        "xaxis": {"type": "date", "tickformat": "%d %b<br>%H:%M", "nticks": 6, "tickangle": 0},
        "yaxis": {"type": "category", "autorange": "reversed", "showgrid": True, "ticks": "",
                  "categoryorder": "array", "categoryarray": [names[x] for x in lanes],
                  "tickmode": "linear"},
        "shapes": [_box(gap, names[gap.holder]) for gap in gaps],
        "annotations": [_length(gap, names[gap.holder]) for gap in gaps],
        "margin": {"l": 16, "r": 24, "t": 24, "b": 48},
    }  # fmt: skip
    summary = (
        f"{words.counted(len(legs), 'leg')} with {words.counted(len(lanes), 'holder')}, "
        f"{words.counted(len(gaps), 'gap')}."
    )
    return drawn(
        head,
        summary,
        data,
        layout,
        "small-chart" if len(lanes) <= 4 else "medium" if len(lanes) <= 8 else "tall",
    )


def _text(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M:%S}"


def _box(gap: Gap, lane: str) -> dict[str, object]:
    return {
        "type": "rect", "x0": _text(gap.started - timedelta(minutes=max(gap.minutes, 20))),
        "x1": _text(gap.started), "y0": lane, "y1": lane, "y0shift": -0.22, "y1shift": 0.22,
        "line": {"color": ACCENT, "width": 2}, "fillcolor": "white", "layer": "above",
    }  # fmt: skip


def _length(gap: Gap, lane: str) -> dict[str, object]:
    return {
        "x": _text(gap.started), "y": lane, "text": f"gap {words.duration(gap.minutes / 60)}",
        "showarrow": False, "yshift": 20, "xanchor": "center", "font": {"color": INK, "size": 14},
    }  # fmt: skip
