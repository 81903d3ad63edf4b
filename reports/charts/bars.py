"""Counts as horizontal bars from zero, each with its number at the end."""

from dataclasses import dataclass, replace

from reports import words
from reports.charts.figure import Chart, Head, drawn, label
from reports.charts.template import ACCENT, GREY, INK

#: Beyond this a list is quicker to read than bars.
MOST_BARS = 16


@dataclass(frozen=True)
class Bar:
    """``is_urgent`` bars carry the accent; the word stands in ``name`` as well. ``href`` is the
    page of what the bar counts."""

    name: str
    value: float
    is_urgent: bool = False
    href: str = ""


def bar_chart(head: Head, bars: list[Bar], unit: str, decimals: int = 0) -> Chart:
    """At most 16 bars, in the order given, the first on top."""
    shown = bars[:MOST_BARS]
    names = [label(bar.name) for bar in shown]
    data: list[dict[str, object]] = [
        {
            "type": "bar", "orientation": "h", "x": [bar.value for bar in shown], "y": names,
            "text": [words.number(bar.value, decimals) for bar in shown],
            "textposition": "outside", "cliponaxis": False, "textfont": {"color": INK},
            "marker": {"color": [ACCENT if bar.is_urgent else GREY for bar in shown],
                       "line": {"color": INK, "width": 1}},
            "hoverinfo": "none", "customdata": [bar.href for bar in shown],
        }
    ]  # fmt: skip
    layout: dict[str, object] = {
        "xaxis": {"rangemode": "tozero", "title": {"text": unit}, "showgrid": False, "nticks": 6},
        "yaxis": {"type": "category", "autorange": "reversed", "showgrid": False, "ticks": "",
                  "tickmode": "linear", "ticksuffix": " "},
        "margin": {"l": 16, "r": 48, "t": 8, "b": 48},
        "bargap": 0.35,
    }  # fmt: skip
    left = len(bars) - len(shown)
    said = f"The {len(shown)} largest; {left} more are in the table." if left > 0 else ""
    top = shown[0] if shown else Bar("nothing", 0)
    summary = (
        f"Bars of {words.counted(len(shown), 'count')}; the first is "
        f"{words.visible(top.name)} with {words.number(top.value, decimals)} {unit}."
    )
    size = "small-chart" if len(shown) <= 5 else "medium" if len(shown) <= 9 else "tall"
    noted = replace(head, note=" ".join((head.note, said)).strip())
    return drawn(noted, summary, data, layout, size)
