"""What a chart draws of a curve: the published trial and a library, read on a grid."""

from math import ceil, exp, log
from typing import Any

import pytest
from statsmodels.duration.survfunc import SurvfuncRight

from tests.models.conftest import EmptyBuild
from tests.models.survival_data import TREATED, Seen, grouped, random_cases, trial

#: Cases under which dbt_project.yml gives no curve.
MIN_COUNT = 10
#: Standard normal quantile of 0.975.
Z = 1.959963984540054

#: Textbooks that reprint the trial: week -> patients at risk, share in remission, Greenwood's
#: standard error.
TREATED_AT_RISK = {
    6: (21, 0.8571, 0.0764), 7: (17, 0.8067, 0.0869), 10: (15, 0.7529, 0.0963),
    13: (12, 0.6902, 0.1068), 16: (11, 0.6275, 0.1141),
}  # fmt: skip


def _points(build: EmptyBuild, groups: dict[str, list[Seen]]) -> dict[str, list[tuple[Any, ...]]]:
    """Group -> hours, at risk, finished, share, lower and upper end, by hours."""
    times = grouped(((g, t, s) for g, seen in groups.items() for t, s in seen), ["cohort"])
    rows = build.rows(
        f"with times as ({times}), curves as ({{{{ survival_curve('times', ['cohort']) }}}}), "
        "points as ({{ curve_points('curves', ['cohort']) }}) select cohort, hours, "
        "at_risk_count, finished_count, still_open_share, still_open_low_share, "
        "still_open_high_share from points order by cohort, hours"
    )
    return {group: [row[1:] for row in rows if row[0] == group] for group in groups}


def _interval(share: float, error: float) -> tuple[float, float]:
    """95 % on the scale log(-log), Kalbfleisch and Prentice 1980."""
    spread = Z * error / (share * -log(share))
    return share ** exp(spread), share ** exp(-spread)


def test_points_are_those_of_the_published_trial(empty_build: EmptyBuild) -> None:
    points = _points(empty_build, {"treated": trial(TREATED)})["treated"]
    # Every week until the last with ten at risk: before week 17 eleven of the 21 have left.
    assert [row[0] for row in points] == list(range(18))
    at = {row[0]: row[1:] for row in points}
    for week, (at_risk, share, error) in TREATED_AT_RISK.items():
        assert at[week][0] == at_risk
        assert at[week][2] == pytest.approx(share, abs=0.00006)
        assert at[week][3:] == pytest.approx(_interval(share, error), abs=0.0006)
    assert at[0] == (21, 0, 1, None, None)
    # Between its events the curve stands: three of 21 ended by week 6, four by week 9.
    assert at[5][1:3] == (0, 1)
    assert at[9][1:] == at[7][1:]
    assert [at[week][1] for week in (6, 9, 17)] == [3, 4, 7]


def test_points_of_a_long_curve_are_those_of_the_library_and_few(empty_build: EmptyBuild) -> None:
    """statsmodels, SurvfuncRight: its last event at or before the hours of each point."""
    groups = {
        f"g{slow}": [(37.3 * t, s) for t, s in random_cases(slow, 400, slow)] for slow in (1, 2, 5)
    }
    groups["small"] = [(11.5 * t, s) for t, s in random_cases(9, MIN_COUNT)]
    found = _points(empty_build, groups)
    longest = max(points[-1][0] for points in found.values())
    grid = next(width for width in (1, 2, 3, 4, 6, 8, 12) if longest < 200 * width)
    assert grid > 1
    for group, seen in groups.items():
        points, times = found[group], [t for t, _ in seen]
        end = sorted(times, reverse=True)[MIN_COUNT - 1]
        assert [row[0] for row in points[:-1]] == [
            grid * n for n in range(ceil(end / grid))
        ]
        assert points[-1][0] == pytest.approx(end)
        assert len(points) <= 201
        library = SurvfuncRight(times, [int(s) for _, s in seen])
        for hours, at_risk, finished, share, low, high in points:
            assert at_risk == sum(t >= hours for t in times)
            assert finished == sum(t <= hours and s for t, s in seen)
            before = [n for n, t in enumerate(library.surv_times) if t <= hours]
            expected = library.surv_prob[before[-1]] if before else 1
            assert share == pytest.approx(expected, abs=1e-12)
            if 0 < expected < 1:
                error = library.surv_prob_se[before[-1]]
                assert (low, high) == pytest.approx(_interval(expected, error), rel=1e-9)
            else:
                assert (low, high) == (None, None)


def test_a_group_under_min_count_has_no_curve(empty_build: EmptyBuild) -> None:
    groups = {"few": random_cases(3, MIN_COUNT - 1), "enough": random_cases(3, MIN_COUNT)}
    found = _points(empty_build, groups)
    assert found["few"] == []
    assert found["enough"][0] == (0, MIN_COUNT, 0, 1, None, None)
