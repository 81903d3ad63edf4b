"""A chart as a page holds it: HTML words around one plotly figure."""

import html
import json
import unicodedata
from dataclasses import dataclass
from functools import cache

import plotly.io as pio

from reports import words
from reports.charts.template import TEMPLATE

#: Points in one chart beyond which a reader no longer sees and a browser no longer hurries.
MOST_POINTS = 2000


@dataclass(frozen=True)
class Head:
    """The words of a chart, printed as HTML: caption, subtitle (measure, unit, coverage), note.

    ``table`` is the slug of the table on the same page behind the picture, ``table_has`` what of
    the picture is in it.
    """

    slug: str
    caption: str
    subtitle: str
    table: str
    note: str = ""
    table_has: str = "The same values are"


#: For the note of a chart whose marks lead on; the table's links are for whoever uses no mouse.
OPENS = "Each mark opens the list behind it; so does its row in the table."


@dataclass(frozen=True)
class Chart:
    """``summary`` is what a screen reader says in place of the picture."""

    head: Head
    summary: str
    figure: str
    points: int
    size: str = "medium"


def drawn(
    head: Head,
    summary: str,
    data: list[dict[str, object]],
    layout: dict[str, object],
    size: str = "medium",
) -> Chart:
    """A chart of plotly traces.

    Traces come from our own code and are written as they are: plotly's own check costs ten times
    the rest, so the tests make it, for every published figure.
    """
    points = sum(_points(trace) for trace in data)
    if points > MOST_POINTS:
        raise ValueError(f"chart {head.slug} has {points} points; at most {MOST_POINTS} fit a page")
    styled: dict[str, object] = {**layout, "template": _template()}
    figure = {"data": data, "layout": styled}
    text = json.dumps(figure, allow_nan=False, separators=(",", ":"))
    return Chart(head, summary, text, points, size)


@cache
def _template() -> dict[str, object]:
    """The registered template as plain values."""
    registered: dict[str, object] = json.loads(pio.to_json(pio.templates[TEMPLATE]))
    return registered


def _points(trace: dict[str, object]) -> int:
    values = trace.get("x")
    return len(values) if isinstance(values, list) else 0


#: Around text that runs the other way (Unicode FSI and PDI, UAX 9): SVG has no element for it.
_ISOLATED = "\u2068{}\u2069"
_OTHER_WAY = {"R", "AL", "AN"}


def label(text: str) -> str:
    """Text from a file for a chart: plotly reads a little HTML, so marks are made plain. Text that
    runs from right to left stands apart, or it would reorder the numbers and words beside it."""
    plain = html.escape(words.visible(text), quote=False)
    runs_other_way = any(unicodedata.bidirectional(c) in _OTHER_WAY for c in plain)
    return _ISOLATED.format(plain) if runs_other_way else plain


def hover_label(text: str) -> str:
    """The same inside a template of plotly, which puts figures in the place of ``%{...}``."""
    return label(text).replace("%{", "% {")


def note_at(x: object, y: object, text: str, colour: str) -> dict[str, object]:
    """A direct label to the right of a point (no legend to hunt)."""
    return {
        "x": x, "y": y, "text": text, "showarrow": False, "xanchor": "left", "xshift": 8,
        "font": {"color": colour, "size": 14}, "align": "left",
    }  # fmt: skip
