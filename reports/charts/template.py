"""The one look of every chart: template, places, severities.

Colours of places are five of a published colour-blind-safe scheme ("muted", SRON/EPS/TN/09-002,
issue 2.2), chosen for 3:1 contrast on white (WCAG 2.2, 1.4.11) and for greys that step evenly;
each slot has a dash and a marker of its own, so that a grey print can be read.
"""

from dataclasses import dataclass

import plotly.graph_objects as go
import plotly.io as pio

TEMPLATE = "ledgerstone"
INK = "#1a1a1a"
GREY = "#595959"
GRID = "#dddddd"
BAND = "#e9e9e9"
#: The one accent (Okabe and Ito's vermillion, Nature Methods 2011): shapes only, never small text.
ACCENT = "#D55E00"
FONT = 'system-ui, "Segoe UI", "Helvetica Neue", Arial, "Liberation Sans", sans-serif'


@dataclass(frozen=True)
class Style:
    colour: str
    dash: str
    symbol: str


_STYLES = (
    Style("#332288", "solid", "circle"),
    Style("#882255", "longdash", "square"),
    Style("#117733", "dash", "triangle-up"),
    Style("#CC6677", "dot", "diamond"),
    Style("#999933", "dashdot", "x"),
)
_FURTHER = Style(GREY, "solid", "circle-open")


def style(slot: int) -> Style:
    """The style of a place's slot; a sixth and later place is grey and told apart by its name."""
    return _STYLES[slot] if 0 <= slot < len(_STYLES) else _FURTHER


def register() -> None:
    """Make the template known to plotly under its name."""
    # A dragged or scrolled chart would trap a finger on a phone, so axes are fixed.
    axis = {
        "fixedrange": True, "linecolor": GREY, "tickcolor": GREY, "tickfont": {"color": INK},
        "zeroline": False, "automargin": True, "title": {"font": {"color": INK}, "standoff": 8},
    }  # fmt: skip
    pio.templates[TEMPLATE] = go.layout.Template(
        layout={
            "font": {"family": FONT, "size": 14, "color": INK},
            "paper_bgcolor": "white",
            "plot_bgcolor": "white",
            "separators": ".,",
            "showlegend": False,
            "dragmode": False,
            "hovermode": "closest",
            "colorway": [s.colour for s in _STYLES],
            "margin": {"l": 56, "r": 16, "t": 8, "b": 48},
            "xaxis": {**axis, "showgrid": False, "showline": True, "ticks": "outside"},
            "yaxis": {**axis, "gridcolor": GRID, "nticks": 8},
        }
    )


register()
