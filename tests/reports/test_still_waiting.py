"""The page of those who still wait: known answers, and charts that say what the mart says."""

import html
import json
import re
from itertools import pairwise
from typing import Any

import duckdb
import pytest

from reports.charts.curves import MOST_PANELS, Curve, Point, curve_chart, home_curves_chart
from reports.charts.figure import MOST_POINTS, Head
from reports.listings.waiting import named_hours
from tests.conftest import DemoRun
from tests.reports.conftest import Site

_HEAD = Head("x", "X", "Y", "t")


def _figures(page: str) -> dict[str, dict[str, Any]]:
    found = re.findall(r'<script[^>]*data-chart="chart-([^"]+)">(.*?)</script>', page, re.S)
    return {name: json.loads(text) for name, text in found}


@pytest.mark.parametrize("audience", ["operations", "owner"])
def test_the_small_page_says_who_has_too_few_cases(small: Site, audience: str) -> None:
    page = html.unescape((small.folder / audience / "still_waiting.html").read_text("utf-8"))
    # From the SQL of the small warehouse: 20 begun in the group, 5 open, median 110 h.
    assert (
        "Half of the 20 cases begun in the 13 weeks to 15 November 2026 reached final "
        "disposition within 110.0 h; 5 still wait"
    ) in re.sub(r"</?span[^>]*>", "", page)
    assert "Cedar" in page and "began 8 cases in these weeks, too few for a curve." in page
    panels = _figures(page)["each-home"]["layout"]["annotations"]
    assert [note["text"].rsplit(", ", 1)[1] for note in panels] == ["20 begun", "20 begun"]


def test_the_drawn_curve_is_the_mart_point_by_point(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    page = (demo_run.site / "owner" / "still_waiting.html").read_text(encoding="utf-8")
    figures = _figures(page)
    rows = demo.execute(
        "select location_id, hours, 100 * still_open_share, 100 * still_open_low_share, "
        "100 * still_open_high_share from marts.waiting_curves order by location_id, hours"
    ).fetchall()
    group = [row[1:] for row in rows if row[0] == "(group)"]
    high, low, middle = figures["all-homes"]["data"]
    assert middle["x"] == pytest.approx([row[0] for row in group])
    assert middle["y"] == pytest.approx([row[1] for row in group], abs=0.005)
    sure = [row for row in group if row[2] is not None]
    assert low["y"] == pytest.approx([row[2] for row in sure], abs=0.005)
    assert high["y"] == pytest.approx([row[3] for row in sure], abs=0.005)
    assert low["x"] == high["x"] == pytest.approx([row[0] for row in sure])
    homes = sorted({row[0] for row in rows} - {"(group)"})
    assert len(homes) > 1
    for number, home in enumerate(homes):
        _, steps, marks = figures["each-home"]["data"][3 * number : 3 * number + 3]
        known = {row[1]: row[2] for row in rows if row[0] == home}
        assert steps["line"]["shape"] == "hv"
        for trace in (steps, marks):
            for hours, share in zip(trace["x"], trace["y"], strict=True):
                assert share == pytest.approx(known[hours], abs=0.005), (home, hours)


def test_all_that_began_are_known_to_wait_at_first(
    demo: duckdb.DuckDBPyConnection,
) -> None:
    """At 0 hours, in each curve of the demo."""
    rows = demo.execute(
        "select c.at_risk_count, b.started_count, b.open_count + b.finished_count "
        "from marts.waiting_curves as c inner join marts.started_turnaround as b "
        "on c.location_id = b.location_id and c.step_code = b.step_code "
        "where c.hours = 0 and b.cohort_kind = '13 weeks'"
    ).fetchall()
    assert len(rows) > 2
    assert all(len(set(row)) == 1 for row in rows)


def _falling(name: str, slot: int, points: int) -> Curve:
    return Curve(name, slot, 500, [Point(3.0 * n, 1 - n / points, 0.1, 0.9) for n in range(points)])


def test_many_homes_fit_a_chart_and_each_point_drawn_is_on_its_curve() -> None:
    curves = [_falling(f"home {n}", n, 201) for n in range(MOST_PANELS + 2)]
    chart = home_curves_chart(_HEAD, curves[0], curves, named_hours(600))
    assert chart.points <= MOST_POINTS
    data = json.loads(chart.figure)["data"]
    assert len(data) == 3 * MOST_PANELS
    assert data[1]["x"][0] == 0 and data[1]["x"][-1] == 600
    for hours, share in zip(data[1]["x"], data[1]["y"], strict=True):
        assert share == pytest.approx(100 * (1 - hours / 603), abs=0.005)


def test_a_curve_without_an_interval_has_no_band() -> None:
    flat = Curve("home", 0, 12, [Point(0, 1, None, None), Point(8, 1, None, None)])
    data = json.loads(curve_chart(_HEAD, flat, []).figure)["data"]
    assert [trace["x"] for trace in data] == [[], [], [0, 8]]


@pytest.mark.parametrize("end", [5.0, 24.0, 100.0, 483.25, 2366.0])
def test_named_hours_are_whole_days_evenly_apart_and_few(end: float) -> None:
    hours = named_hours(end)
    assert len(hours) <= 7
    assert all(at % 24 == 0 and at <= end for at in hours)
    assert len({b - a for a, b in pairwise([0.0, *hours])}) <= 1
    assert (hours == []) == (end < 24)
