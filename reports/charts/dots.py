"""Dot plots: rows of things, one symbol a place; and dots with an interval."""

from dataclasses import dataclass

from reports import words
from reports.charts.figure import Chart, Head, drawn, hover_label, label, note_at
from reports.charts.template import GREY, INK, style


@dataclass(frozen=True)
class Dot:
    """``row`` is the name on the axis, ``slot`` the place's. ``low`` and ``high`` end an interval
    or a range; ``text`` stands beside the dot. ``href`` is the page of what is behind it."""

    row: str
    value: float
    place: str
    slot: int
    low: float | None = None
    high: float | None = None
    text: str = ""
    href: str = ""


def dot_chart(head: Head, dots: list[Dot], unit: str, tick_format: str = "") -> Chart:
    """Rows in the order in which they first stand in ``dots``, the first on top."""
    rows = list(dict.fromkeys(dot.row for dot in dots))
    places = list(dict.fromkeys((dot.place, dot.slot) for dot in dots))
    names = {row: label(row) for row in rows}
    data = [_trace([d for d in dots if d.place == p], slot, names) for p, slot in places]
    layout: dict[str, object] = {
        "xaxis": {"rangemode": "tozero", "title": {"text": unit}, "tickformat": tick_format or ",",
                  "showgrid": True, "gridcolor": "#dddddd", "nticks": 6},
        "yaxis": {"type": "category", "categoryorder": "array", "ticks": "", "showgrid": True,
                  "categoryarray": [names[row] for row in rows], "autorange": "reversed",
                  "tickmode": "linear", "ticksuffix": " "},
        "margin": {"l": 16, "r": 72 if any(d.text for d in dots) else 24, "t": 8, "b": 48},
        "annotations": [note_at(d.high if d.high is not None else d.value, names[d.row],
                                label(d.text), INK) for d in dots if d.text],
    }  # fmt: skip
    summary = (
        f"Dots of {words.counted(len(rows), 'row')}, {words.counted(len(places), 'place')}, from "
        f"{words.number(min((d.value for d in dots), default=0), 2)} to "
        f"{words.number(max((d.value for d in dots), default=0), 2)} {unit}."
    )
    size = "small-chart" if len(rows) <= 4 else "medium" if len(rows) <= 8 else "tall"
    return drawn(head, summary, data, layout, "taller" if len(rows) > 12 else size)


def _trace(dots: list[Dot], slot: int, names: dict[str, str]) -> dict[str, object]:
    look = style(slot)
    trace: dict[str, object] = {
        "type": "scatter", "mode": "markers", "x": [d.value for d in dots],
        "y": [names[d.row] for d in dots], "cliponaxis": False,
        "customdata": [d.href for d in dots],
        "marker": {"symbol": look.symbol, "size": 11, "color": look.colour,
                   "line": {"color": "white", "width": 1}},
        "hovertemplate": f"{hover_label(dots[0].place)}: %{{x}}<extra></extra>",
    }  # fmt: skip
    if any(d.high is not None for d in dots):
        trace["error_x"] = {
            "type": "data", "symmetric": False, "color": GREY, "thickness": 1.5, "width": 5,
            "array": [(d.high if d.high is not None else d.value) - d.value for d in dots],
            "arrayminus": [d.value - (d.low if d.low is not None else d.value) for d in dots],
        }  # fmt: skip
    return trace


def key_of(places: list[tuple[str, int]]) -> str:
    """The symbols in words, for the note under a dot plot: it reads in grey and aloud."""
    words_of = {"circle": "disc", "square": "square", "triangle-up": "triangle",
                "diamond": "diamond", "x": "cross", "circle-open": "ring"}  # fmt: skip
    named = [f"{words_of[style(slot).symbol]} {name}" for name, slot in places]
    return f"Symbols: {words.listed(named)}." if named else ""
