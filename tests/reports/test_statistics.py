"""Intervals of shares against a library and published figures."""

import pytest

from reports.intervals import binomial_limits


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
