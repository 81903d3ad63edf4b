"""Every published figure is one that plotly accepts, in the forms that were chosen."""

import json
import re
from collections.abc import Iterator
from typing import Any

import plotly.graph_objects as go
import pytest

from reports.charts.bridge import Step, bridge_chart
from reports.charts.figure import MOST_POINTS, Head, drawn
from reports.charts.funnel import FunnelPoint, funnel_chart
from reports.charts.template import ACCENT, GREY, style
from tests.conftest import DemoRun

_HEAD = Head("x", "X", "Y", "t")


@pytest.fixture(scope="module")
def figures(demo_run: DemoRun) -> list[tuple[str, dict[str, Any]]]:
    found = []
    for page in sorted(demo_run.site.rglob("*.html")):
        html = page.read_text(encoding="utf-8")
        for text in re.findall(r"<script[^>]*data-chart[^>]*>(.*?)</script>", html, re.S):
            found.append((page.as_posix(), json.loads(text)))
    return found


def _traces(figures: list[tuple[str, dict[str, Any]]]) -> Iterator[tuple[str, dict[str, Any]]]:
    return ((page, trace) for page, figure in figures for trace in figure["data"])


def test_plotly_accepts_every_figure(figures: list[tuple[str, dict[str, Any]]]) -> None:
    assert len(figures) > 50
    for page, figure in figures:
        assert go.Figure(figure).data, page


def test_only_plain_traces_are_used(figures: list[tuple[str, dict[str, Any]]]) -> None:
    """No WebGL (needs eval), no map (fetches), no waterfall (a line in a partial bundle)."""
    assert {trace["type"] for _, trace in _traces(figures)} <= {"scatter", "bar"}


def test_bars_start_at_zero(figures: list[tuple[str, dict[str, Any]]]) -> None:
    for page, figure in figures:
        kinds = {(trace["type"], trace.get("orientation", "v")) for trace in figure["data"]}
        if ("bar", "h") in kinds:
            assert figure["layout"]["xaxis"]["rangemode"] == "tozero", page
        if ("bar", "v") in kinds:
            assert figure["layout"]["yaxis"]["range"][0] <= 0, page


def test_weeks_and_names_are_categories(figures: list[tuple[str, dict[str, Any]]]) -> None:
    for page, figure in figures:
        for trace in figure["data"]:
            for letter in "xy":
                values = [v for v in trace[letter] if isinstance(v, str)]
                axis = figure["layout"].get(f"{letter}axis", {})
                if values and axis.get("type") != "date":
                    assert axis.get("type") == "category", (page, letter)


def test_there_is_one_y_axis_a_panel_and_no_legend(
    figures: list[tuple[str, dict[str, Any]]],
) -> None:
    for page, figure in figures:
        layout = figure["layout"]
        assert not any(axis.get("overlaying") for name, axis in layout.items()
                       if name.startswith("yaxis")), page  # fmt: skip
        assert layout["template"]["layout"]["showlegend"] is False, page


def test_panels_share_one_scale(figures: list[tuple[str, dict[str, Any]]]) -> None:
    panels = [
        {name: axis for name, axis in figure["layout"].items() if name.startswith("yaxis")}
        for _, figure in figures
    ]
    several = [axes for axes in panels if len(axes) > 1]
    assert several
    for axes in several:
        assert len({tuple(axis["range"]) for axis in axes.values()}) == 1


def _luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("colour", [*(style(slot).colour for slot in range(6)), ACCENT, GREY])
def test_every_colour_stands_out_from_white_paper(colour: str) -> None:
    """WCAG 2.2, success criterion 1.4.11: 3:1 for what carries meaning."""
    assert 1.05 / (_luminance(colour) + 0.05) >= 3.0


def test_each_place_has_a_dash_and_a_symbol_of_its_own() -> None:
    looks = [style(slot) for slot in range(5)]
    assert len({look.dash for look in looks}) == 5
    assert len({look.symbol for look in looks}) == 5


def test_a_bridge_ends_where_it_should() -> None:
    """Worked by hand: 20 + 10 - 8 = 22 expected, 21 counted, 1 not explained."""
    chart = bridge_chart(
        _HEAD,
        [
            Step("opening", 20, is_level=True),
            Step("received", 10),
            Step("issued", -8),
            Step("expected", 22, is_level=True, is_expected=True),
            Step("counted", 21, is_level=True),
            Step("not explained", -1, is_unexplained=True),
        ],
        "pieces",
    )
    bar = json.loads(chart.figure)["data"][0]
    assert bar["base"] == [0, 20, 30, 0, 0, 21]
    assert [base + height for base, height in zip(bar["base"], bar["y"], strict=True)] == [
        20, 30, 22, 22, 21, 20,
    ]  # fmt: skip
    assert bar["text"] == ["20", "+10", "-8", "22", "21", "-1"]


def test_a_chart_with_too_many_points_is_refused() -> None:
    trace: dict[str, object] = {"type": "scatter", "x": list(range(MOST_POINTS + 1)), "y": []}
    with pytest.raises(ValueError, match="at most 2000"):
        drawn(_HEAD, "Z", [trace], {})


def test_no_name_of_a_funnel_lies_over_another_point() -> None:
    points = [FunnelPoint("One", 0, 140, 0.943), FunnelPoint("Two", 1, 160, 0.944)]
    chart = funnel_chart(_HEAD, points, 0.93, 6)
    layout = json.loads(chart.figure)["layout"]
    low, high = layout["yaxis"]["range"]
    one, two = (note.get("ay", note["y"]) for note in layout["annotations"])
    assert abs(one - 94.4) > 0.05 * (high - low)
    assert abs(one - two) > 0.05 * (high - low)
    assert layout["annotations"][0]["y"] == pytest.approx(94.3)
