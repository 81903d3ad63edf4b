"""The usual range of a weekly figure: a grey band with its centre, behind the points."""

from dataclasses import dataclass

from reports.charts.template import BAND, GREY


@dataclass(frozen=True)
class UsualRange:
    """Centre and limits in the unit of the values; ``points`` says how many weeks made them."""

    centre: float
    lower: float
    upper: float
    points: int


def band(usual: UsualRange | None, axis: str = "y") -> list[dict[str, object]]:
    """Shapes across the whole picture on one vertical axis; none without a range."""
    if usual is None:
        return []
    across = {"xref": "paper", "x0": 0, "x1": 1, "yref": axis, "layer": "below"}
    return [
        {**across, "type": "rect", "y0": usual.lower, "y1": usual.upper, "fillcolor": BAND,
         "line": {"width": 0}},
        {**across, "type": "line", "y0": usual.centre, "y1": usual.centre,
         "line": {"color": GREY, "width": 1}},
    ]  # fmt: skip
