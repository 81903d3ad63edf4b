"""Individuals charts and run rules against printed examples, a published rule and a library."""

import random
from itertools import groupby, pairwise
from typing import Any

import pytest
from scipy.stats import beta, binom

from tests.models.conftest import EmptyBuild

#: Flow-rate data of the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (data from memory;
#: the limits 55.8041 and 45.8159 are the handbook's).
FLOW_RATE = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
#: Individuals charts printed in a statistics package's documentation (its control-chart chapter):
#: thirty belt diameters, and twenty readings; centre, lower and upper limit as printed.
BELTS = [24.05, 23.99, 23.95, 23.93, 23.97, 24.02, 24.06, 24.10, 23.98, 24.03,
         23.91, 24.06, 24.06, 23.96, 23.98, 24.06, 24.01, 24.00, 23.93, 23.92,
         24.09, 24.11, 24.05, 23.98, 23.98, 24.06, 24.02, 24.06, 23.97, 23.96]  # fmt: skip
READINGS = [78.4, 80.1, 84.4, 79.1, 80.4, 83.5, 73.8, 83.5, 75.0, 76.8,
            70.5, 80.3, 82.4, 79.4, 86.4, 90.5, 77.7, 82.5, 79.9, 83.2]  # fmt: skip

#: Point number -> value; None: a week without a figure.
Points = dict[int, float | None]


def _listed(points: Points) -> str:
    rows = ", ".join(
        f"('k', {n}, {'null' if v is None else v}::double)" for n, v in points.items()
    )
    return f"select * from (values {rows}) as v (series, point_number, value)"


def _limits(build: EmptyBuild, points: Points) -> tuple[Any, ...]:
    """Count of points, centre, lower and upper limit."""
    return build.rows(
        f"with points as ({_listed(points)}) "
        "select point_count, centre_value, lower_value, upper_value "
        "from ({{ usual_limits('points', ['series']) }})"
    )[0]


def _runs(build: EmptyBuild, points: Points, limits: tuple[float, float, float]) -> tuple[Any, ...]:
    """Judged, outside, on a side, longest run, crossings."""
    centre, lower, upper = limits
    return build.rows(
        f"with points as (select *, {centre} as centre_value, {lower} as lower_value, "
        f"{upper} as upper_value from ({_listed(points)})) "
        "select judged_count, outside_count, sided_count, longest_run, crossing_count "
        "from ({{ run_counts('points', ['series']) }})"
    )[0]


@pytest.mark.parametrize(
    ("values", "centre", "lower", "upper", "tolerance"),
    [
        (FLOW_RATE, 50.81, 45.8159, 55.8041, 1e-3),
        (BELTS, 24.0083, 23.8571, 24.1596, 2e-4),
        (READINGS, 80.39, 66.229, 94.551, 0.01),
    ],
)
def test_limits_are_those_of_the_printed_charts(
    empty_build: EmptyBuild,
    values: list[float], centre: float, lower: float, upper: float, tolerance: float,
) -> None:  # fmt: skip
    found = _limits(empty_build, dict(enumerate(values)))
    assert found[0] == len(values)
    assert found[1:] == pytest.approx((centre, lower, upper), abs=tolerance)


def test_no_range_is_given_from_fewer_than_ten_points(empty_build: EmptyBuild) -> None:
    assert _limits(empty_build, dict(enumerate(FLOW_RATE[:9]))) == (9, None, None, None)


@pytest.mark.parametrize("is_a_row", [True, False])
def test_a_missing_week_is_a_gap_that_no_moving_range_bridges(
    empty_build: EmptyBuild, is_a_row: bool
) -> None:
    # Worked by hand: within each run every step is 1; bridging the gap would add a step of 89.
    values: Points = dict(enumerate([10.0, 11, 10, 11, 10, None, 99, 100, 99, 100, 99]))
    if not is_a_row:
        del values[5]
    _, centre, _, upper = _limits(empty_build, values)
    assert upper - centre == pytest.approx(3 * 1 / 1.128)


def test_ten_points_without_two_in_a_row_have_no_moving_range(empty_build: EmptyBuild) -> None:
    assert _limits(empty_build, {2 * n: v for n, v in enumerate(FLOW_RATE)})[1] is None


def test_what_a_row_of_points_does_is_counted_as_by_hand(empty_build: EmptyBuild) -> None:
    # Sides of 50: + + 0 + - - + ; the 50 is on neither side and does not end the run of three.
    points: Points = dict(enumerate([51.0, 52, 50, 53, 49, 48, None, 70]))
    assert _runs(empty_build, points, (50, 45, 55)) == (7, 1, 6, 3, 2)
    assert _runs(empty_build, {0: 50.0}, (50, 45, 55)) == (1, 0, 0, 0, 0)


def test_runs_are_those_of_a_plain_count(empty_build: EmptyBuild) -> None:
    dice = random.Random(7)
    for length in (1, 2, 5, 13, 13, 13, 40):
        values = [float(dice.randint(-3, 3)) for _ in range(length)]
        sides = [v > 0 for v in values if v]
        runs = [len(list(run)) for _, run in groupby(sides)]
        wanted = (
            length,
            sum(abs(v) > 2 for v in values),
            len(sides),
            max(runs, default=0),
            sum(a != b for a, b in pairwise(sides)),
        )
        assert _runs(empty_build, dict(enumerate(values)), (0, -2, 2)) == wanted


def test_fewest_crossings_are_those_of_the_published_rule(empty_build: EmptyBuild) -> None:
    """Lower 5% points of the binomial(n - 1, 1/2): PLoS ONE 2014, 9(11) e113825; scipy."""
    listed = ", ".join(f"({n})" for n in range(10, 61))
    sql = f"select n, {{{{ fewest_crossings('n') }}}} from (values {listed}) as v (n)"
    found = dict(empty_build.rows(sql))
    # As the table of the paper has them (from memory).
    assert {n: found[n] for n in (10, 12, 16, 20, 24)} == {10: 2, 12: 3, 16: 4, 20: 6, 24: 8}
    assert found == {n: int(binom.ppf(0.05, n - 1, 0.5)) for n in range(10, 61)}


def test_a_run_of_eight_is_long_as_in_the_handbook(empty_build: EmptyBuild) -> None:
    """Upper limits 6, 7, 7, 7, 8 for 10, 12, 16, 20, 24 points: PLoS ONE 2014, 9(11) e113825 (from
    memory). Eight in a row signal: NIST/SEMATECH e-Handbook, 6.3.2 (from memory)."""
    listed = ", ".join(f"({n})" for n in (10, 12, 13, 16, 20, 24))
    sql = f"select n, {{{{ longest_usual_run('n') }}}} from (values {listed}) as v (n)"
    assert dict(empty_build.rows(sql)) == {10: 6, 12: 7, 13: 7, 16: 7, 20: 7, 24: 8}


@pytest.mark.parametrize("cases", [10, 12, 40, 166, 3000])
def test_range_of_a_median_is_near_its_exact_distribution(
    empty_build: EmptyBuild, cases: int
) -> None:
    """The share of all cases below a sample's median is Beta((n + 1) / 2, (n + 1) / 2).

    David and Nagaraja, Order Statistics, 2003, 2.1 (from memory); quantiles by scipy.
    """
    reach = empty_build.rows(f"select {{{{ median_reach('{cases}') }}}}")[0][0]
    exact = beta.ppf([0.025, 0.975], (cases + 1) / 2, (cases + 1) / 2)
    assert [0.5 - reach, 0.5 + reach] == pytest.approx(list(exact), abs=0.011)
