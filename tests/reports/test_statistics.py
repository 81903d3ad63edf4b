"""Usual range and intervals against published figures."""

import pytest

from reports.intervals import binomial_limits
from reports.usual_range import FEWEST_POINTS, fewest_crossings, signals, usual_range

#: Flow-rate data of the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (data from memory;
#: the limits 55.8041 and 45.8159 are the handbook's).
_FLOW_RATE = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]


def test_limits_are_those_of_the_handbook_example() -> None:
    usual = usual_range(_FLOW_RATE)
    assert usual is not None
    assert usual.centre == pytest.approx(50.81)
    assert usual.upper == pytest.approx(55.8041, abs=1e-3)
    assert usual.lower == pytest.approx(45.8159, abs=1e-3)


#: Individuals charts printed in a statistics package's documentation (its control-chart chapter):
#: thirty belt diameters, and twenty readings; centre, lower and upper limit as printed.
_BELTS = [24.05, 23.99, 23.95, 23.93, 23.97, 24.02, 24.06, 24.10, 23.98, 24.03,
          23.91, 24.06, 24.06, 23.96, 23.98, 24.06, 24.01, 24.00, 23.93, 23.92,
          24.09, 24.11, 24.05, 23.98, 23.98, 24.06, 24.02, 24.06, 23.97, 23.96]  # fmt: skip
_READINGS = [78.4, 80.1, 84.4, 79.1, 80.4, 83.5, 73.8, 83.5, 75.0, 76.8,
             70.5, 80.3, 82.4, 79.4, 86.4, 90.5, 77.7, 82.5, 79.9, 83.2]  # fmt: skip


@pytest.mark.parametrize(
    ("values", "centre", "lower", "upper", "tolerance"),
    [(_BELTS, 24.0083, 23.8571, 24.1596, 2e-4), (_READINGS, 80.39, 66.229, 94.551, 0.01)],
)
def test_limits_are_those_of_the_printed_charts(
    values: list[float], centre: float, lower: float, upper: float, tolerance: float
) -> None:
    usual = usual_range(values)
    assert usual is not None
    assert usual.centre == pytest.approx(centre, abs=tolerance)
    assert usual.lower == pytest.approx(lower, abs=tolerance)
    assert usual.upper == pytest.approx(upper, abs=tolerance)


def test_no_range_is_given_from_fewer_than_ten_points() -> None:
    assert usual_range(_FLOW_RATE[: FEWEST_POINTS - 1]) is None


def test_a_missing_week_is_a_gap_that_no_moving_range_bridges() -> None:
    # Worked by hand: within each run every step is 1; bridging the gap would add a step of 89.
    values = [10.0, 11, 10, 11, 10, None, 99, 100, 99, 100, 99]
    usual = usual_range(values)
    assert usual is not None
    assert usual.upper - usual.centre == pytest.approx(3 * 1 / 1.128)


def test_weeks_inside_the_range_give_no_signal() -> None:
    usual = usual_range(_FLOW_RATE)
    assert usual is not None
    assert signals([50.0, 51.5, 50.2, 51.3, 49.9, 51.0], usual) == []


def test_a_week_outside_the_range_is_a_signal() -> None:
    usual = usual_range(_FLOW_RATE)
    assert usual is not None
    assert signals([50.0, 51.5, 70.0], usual) == ["1 of 3 weeks outside the limits"]


def test_a_long_run_on_one_side_is_a_signal_although_inside_the_limits() -> None:
    usual = usual_range(_FLOW_RATE)
    assert usual is not None
    told = signals([52.0] * 12, usual)
    assert "12 weeks in a row on one side of the centre" in told
    assert any("crossings" in text for text in told)


@pytest.mark.parametrize(
    ("points", "fewest"),
    # Lower 5% points of the binomial(n - 1, 1/2), as the table of run chart rules for n = 10 to 24
    # in PLoS ONE 2014, 9(11) e113825 has them (from memory, checked against scipy below).
    [(10, 2), (12, 3), (16, 4), (20, 6), (24, 8)],
)
def test_fewest_crossings_are_those_of_the_published_rule(points: int, fewest: int) -> None:
    from scipy.stats import binom  # noqa: PLC0415

    assert fewest_crossings(points) == fewest == int(binom.ppf(0.05, points - 1, 0.5))


@pytest.mark.parametrize("trials", [1, 7, 50, 100, 500, 20_000])
@pytest.mark.parametrize("share", [0.0, 0.001, 0.074, 0.5, 0.93, 1.0])
@pytest.mark.parametrize("outside", [0.05, 0.002])
def test_funnel_limits_are_binomial_quantiles_of_scipy(
    trials: int, share: float, outside: float
) -> None:
    from scipy.stats import binom  # noqa: PLC0415

    wanted = [max(0.0, float(q)) for q in binom.ppf([outside / 2, 1 - outside / 2], trials, share)]
    low, high = binomial_limits(trials, share, outside)
    assert [round(low * trials), round(high * trials)] == wanted


def test_funnel_limits_of_a_hundred_stroke_patients() -> None:
    """Readmissions at 7.4 % (Qual Saf Health Care 2002;11:390): 3 to 13 of 100, and 1 to 17."""
    assert binomial_limits(100, 0.074, 0.05) == (0.03, 0.13)
    assert binomial_limits(100, 0.074, 0.002) == (0.01, 0.17)


def test_limits_of_no_cases_are_refused() -> None:
    with pytest.raises(ValueError, match="limits need trials"):
        binomial_limits(0, 0.5, 0.05)
