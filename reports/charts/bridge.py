"""A roll-forward as floating bars: opening, what came, what went, expected, counted, difference.

Floating ``bar`` with ``base``: the waterfall trace silently draws as a line where a partial plotly
bundle is loaded. Counted is solid and expected outlined (notation of business reports, ISO 24896).
"""

from dataclasses import dataclass

from reports import words
from reports.charts.figure import Chart, Head, drawn, label
from reports.charts.template import ACCENT, GREY, INK

#: From here on a label over a bar leaves its cents to the table.
_ROOM_FOR_CENTS = 10_000


@dataclass(frozen=True)
class Step:
    """``is_level`` steps stand on zero; the others start where the one before ended. ``href`` is
    the page of what the step adds up."""

    name: str
    amount: float
    is_level: bool = False
    is_expected: bool = False
    is_unexplained: bool = False
    href: str = ""


def bridge_chart(head: Head, steps: list[Step], unit: str) -> Chart:
    """Steps from the first level to the last; each is labelled with its signed amount."""
    ends: list[tuple[float, float]] = []
    level = 0.0
    for step in steps:
        start = 0.0 if step.is_level else level
        ends.append((start, start + step.amount))
        level = start + step.amount
    names = [label(step.name) for step in steps]
    data: list[dict[str, object]] = [
        {
            "type": "bar", "x": names, "y": [b - a for a, b in ends], "base": [a for a, _ in ends],
            "marker": {"color": [_fill(step) for step in steps],
                       "line": {"color": INK, "width": 1.5}},
            "text": [_signed(step) for step in steps], "textposition": "outside",
            "cliponaxis": False, "textfont": {"color": INK}, "hoverinfo": "none",
            "customdata": [step.href for step in steps],
        }
    ]  # fmt: skip
    connectors = [
        {"type": "line", "x0": i + 0.4, "x1": i + 0.6, "y0": end, "y1": end,
         "line": {"color": GREY, "width": 1}}
        for i, (_, end) in enumerate(ends[:-1])
    ]  # fmt: skip
    most = max((max(a, b) for a, b in ends), default=1.0)
    least = min(0.0, min((min(a, b) for a, b in ends), default=0.0))
    layout: dict[str, object] = {
        "xaxis": {"type": "category", "tickangle": 0, "tickfont": {"size": 12},
                  "ticktext": [name.replace(" ", "<br>") for name in names], "tickvals": names},
        "yaxis": {"title": {"text": unit}, "range": [least * 1.15, most * 1.15 or 1]},
        "shapes": connectors,
        "bargap": 0.2,
    }  # fmt: skip
    summary = "; ".join(f"{words.visible(s.name)} {_signed(s)}" for s in steps) + f" {unit}."
    return drawn(head, summary, data, layout)


def _fill(step: Step) -> str:
    if step.is_unexplained:
        return ACCENT
    return "white" if step.is_expected else GREY if step.is_level else "#b5b5b5"


def _signed(step: Step) -> str:
    is_whole = step.amount == round(step.amount) or abs(step.amount) >= _ROOM_FOR_CENTS
    text = words.number(step.amount, 0 if is_whole else 2)
    return text if step.is_level or step.amount <= 0 else f"+{text}"
