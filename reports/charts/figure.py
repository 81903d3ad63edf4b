"""A chart as a page holds it: HTML words around one plotly figure."""

import html
from dataclasses import dataclass

import plotly.graph_objects as go
import plotly.io as pio

from reports import words
from reports.charts.template import TEMPLATE

#: Points in one chart beyond which a reader no longer sees and a browser no longer hurries.
MOST_POINTS = 2000


@dataclass(frozen=True)
class Chart:
    """``caption`` and ``subtitle`` (measure, unit, coverage) and ``note`` are printed as HTML.

    ``summary`` is what a screen reader says in place of the picture; ``table`` is the slug of the
    table with the same values.
    """

    slug: str
    caption: str
    subtitle: str
    summary: str
    figure: str
    points: int
    table: str
    size: str = "medium"
    note: str = ""


def drawn(
    slug: str,
    caption: str,
    subtitle: str,
    summary: str,
    table: str,
    data: list[dict[str, object]],
    layout: dict[str, object],
    size: str = "medium",
    note: str = "",
) -> Chart:
    """A chart of plotly traces. Traces come from our own code, so plotly's slow check is left to
    the tests, which validate every published figure."""
    styled = {**layout, "template": pio.templates[TEMPLATE]}
    figure = go.Figure({"data": data, "layout": styled}, _validate=False)
    points = sum(len(list(trace.get("x", ()))) for trace in data)  # type: ignore[call-overload]
    if points > MOST_POINTS:
        raise ValueError(f"chart {slug} has {points} points; at most {MOST_POINTS} fit a page")
    text = pio.to_json(figure, validate=False, engine="json")
    return Chart(slug, caption, subtitle, summary, text, points, table, size, note)


def label(text: str) -> str:
    """Text from a file for a chart: plotly reads a little HTML, so marks are made plain."""
    return html.escape(words.visible(text), quote=False)


def note_at(
    x: object, y: object, text: str, colour: str, anchor: str = "left", shift: int = 8
) -> dict[str, object]:
    """A direct label beside a point (no legend to hunt)."""
    return {
        "x": x, "y": y, "text": text, "showarrow": False, "xanchor": anchor, "xshift": shift,
        "font": {"color": colour, "size": 14}, "align": "left",
    }  # fmt: skip
