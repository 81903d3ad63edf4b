"""Intervals of shares, so that a difference between homes is not read as more than it is."""

from math import sqrt

#: Two-sided 95%.
Z = 1.959964


def wilson(successes: int, trials: int) -> tuple[float, float]:
    """The 95% score interval of a share (Wilson; examples in Stat Med 1998;17:857).

    ValueError for no trials: there is no share then.
    """
    if trials <= 0:
        raise ValueError("a share of nothing has no interval")
    share = successes / trials
    middle = share + Z * Z / (2 * trials)
    reach = Z * sqrt(share * (1 - share) / trials + Z * Z / (4 * trials * trials))
    scale = 1 + Z * Z / trials
    return max(0.0, (middle - reach) / scale), min(1.0, (middle + reach) / scale)
