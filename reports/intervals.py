"""Intervals of shares, so that a difference between homes is not read as more than it is."""

from math import exp, lgamma, log, log1p, sqrt


def binomial_limits(trials: int, share: float, outside: float) -> tuple[float, float]:
    """Exact limits of a funnel plot: the shares between which chance leaves all but ``outside``.

    Quantiles of the binomial distribution at half of ``outside`` on each side, over the trials
    (Stat Med 2005;24:1185; exact limits for small counts as in Qual Saf Health Care 2002;11:390).
    ValueError for no trials or a share outside 0 to 1.
    """
    if trials <= 0 or not 0 <= share <= 1:
        raise ValueError("limits need trials and a share between 0 and 1")
    low = _binomial_quantile(trials, share, outside / 2)
    high = _binomial_quantile(trials, share, 1 - outside / 2)
    return low / trials, high / trials


def _binomial_quantile(trials: int, share: float, level: float) -> int:
    """The smallest count whose cumulated probability reaches ``level``."""
    if share in (0.0, 1.0):
        return round(trials * share)
    # What lies more than ten deviations below the mean has no weight beside the levels asked for.
    start = max(0, int(trials * share - 10 * sqrt(trials * share * (1 - share)) - 1))
    total = 0.0
    for count in range(start, trials + 1):
        total += exp(
            lgamma(trials + 1) - lgamma(count + 1) - lgamma(trials - count + 1)
            + count * log(share) + (trials - count) * log1p(-share)
        )  # fmt: skip
        if total >= level * (1 - 1e-12):
            return count
    return trials
