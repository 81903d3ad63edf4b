"""Usual range and intervals against published figures."""

import pytest

from reports.intervals import wilson
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


@pytest.mark.parametrize(
    ("successes", "trials", "low", "high"),
    # Stat Med 1998;17:857, examples.
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_share_intervals_are_the_published_ones(
    successes: int, trials: int, low: float, high: float
) -> None:
    assert wilson(successes, trials) == pytest.approx((low, high), abs=5e-5)


def test_a_share_of_nothing_has_no_interval() -> None:
    with pytest.raises(ValueError, match="share of nothing"):
        wilson(0, 0)
