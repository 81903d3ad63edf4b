"""Product limit, its median and the log-rank test against a published trial and a library."""

import random
from collections.abc import Iterable
from math import exp, isnan, log, sqrt
from statistics import mean, median
from typing import Any

import numpy as np
import pytest
from statsmodels.duration.survfunc import SurvfuncRight, survdiff

from tests.models.conftest import EmptyBuild
from tests.models.survival_data import PLACEBO, TREATED, Seen, grouped, random_cases, trial

#: The same textbooks: week -> share in remission, Greenwood's standard error.
TREATED_CURVE = {
    6: (0.8571, 0.0764), 7: (0.8067, 0.0869), 10: (0.7529, 0.0963), 13: (0.6902, 0.1068),
    16: (0.6275, 0.1141), 22: (0.5378, 0.1282), 23: (0.4482, 0.1346),
}  # fmt: skip


def _curves(build: EmptyBuild, groups: dict[str, list[Seen]]) -> dict[str, list[tuple[Any, ...]]]:
    """Group -> hours, finished_count, share, standard error, lower and upper end, by hours."""
    times = grouped(((g, t, s) for g, seen in groups.items() for t, s in seen), ["cohort"])
    rows = build.rows(
        f"with times as ({times}) select cohort, hours, finished_count, still_open_share, "
        "still_open_se, still_open_low_share, still_open_high_share "
        "from ({{ survival_curve('times', ['cohort']) }}) order by cohort, hours"
    )
    return {group: [row[1:] for row in rows if row[0] == group] for group in groups}


def _medians(build: EmptyBuild, groups: dict[str, list[Seen]]) -> dict[str, tuple[Any, ...]]:
    """Group -> median, its lower and upper end, median of the finished alone."""
    times = grouped(((g, t, s) for g, seen in groups.items() for t, s in seen), ["cohort"])
    rows = build.rows(
        f"with times as ({times}), curves as ({{{{ survival_curve('times', ['cohort']) }}}}) "
        "select cohort, median_hours, median_low_hours, median_high_hours, naive_median_hours "
        "from ({{ survival_medians('curves', ['cohort']) }})"
    )
    return {row[0]: row[1:] for row in rows}


def test_curve_is_that_of_the_published_trial(empty_build: EmptyBuild) -> None:
    curve = _curves(empty_build, {"treated": trial(TREATED)})["treated"]
    events = {row[0]: row for row in curve if row[1]}
    assert {t: (round(r[2], 4), round(r[3], 4)) for t, r in events.items()} == {
        float(t): pytest.approx(published, abs=0.00001) for t, published in TREATED_CURVE.items()
    }
    # Worked by hand at week 10: ln(.7529) = -.2838, se .0963 / .7529 = .1279, 1.96 x .1279 / .2838
    # = .8834; .7529 ^ exp(.8834) = .503 and .7529 ^ exp(-.8834) = .889.
    assert events[10.0][4:] == pytest.approx((0.503, 0.889), abs=0.0006)


def test_medians_are_those_of_the_published_trial(empty_build: EmptyBuild) -> None:
    found = _medians(empty_build, {"t": trial(TREATED), "p": trial(PLACEBO)})
    assert (found["t"][0], found["p"][0]) == (23, 8)
    # What statistics packages print for these data on the log-log scale; statsmodels here.
    assert found["t"][1:3] == (13, None)
    assert found["p"][1:3] == (4, 11)
    for group, upper in (("t", np.inf), ("p", 11)):
        seen = trial(TREATED if group == "t" else PLACEBO)
        library = SurvfuncRight([t for t, _ in seen], [int(s) for _, s in seen])
        with np.errstate(all="ignore"):
            assert library.quantile_ci(0.5, method="cloglog") == (found[group][1], upper)


def test_log_rank_is_that_of_the_published_trial(empty_build: EmptyBuild) -> None:
    # Expected 19.25 and 10.75, chi-square 16.79 on one degree of freedom, in the same textbooks.
    rows = [("one", "t", t, s) for t, s in trial(TREATED)]
    rows += [("one", "p", t, s) for t, s in trial(PLACEBO)]
    found = _log_rank(empty_build, [("s", *row) for row in rows])
    assert found["s", "t"][:2] == (9, pytest.approx(19.25, abs=0.005))
    assert found["s", "p"][:2] == (21, pytest.approx(10.75, abs=0.005))
    assert found["s", "t"][2] == pytest.approx(16.79, abs=0.005)
    assert found["s", "p"][2] == pytest.approx(16.79, abs=0.005)


def _log_rank(
    build: EmptyBuild, rows: Iterable[tuple[str, str, str, float, bool]]
) -> dict[tuple[str, str], tuple[Any, ...]]:
    """(test, home) -> observed, expected, chi-square, p.

    Rows: test, stratum, home, time, whether its end was seen.
    """
    times = grouped(rows, ["test", "stratum", "location_id"])
    found = build.rows(
        f"with times as ({times}), tested as ({{{{ log_rank('times', ['test'], ['stratum']) }}}}), "
        "judged as (select tested.*, "
        "{{ chi_square('finished_count', 'expected_count', 'variance') }} as chi_square "
        "from tested) select test, location_id, finished_count, expected_count, chi_square, "
        "{{ chi_square_tail('chi_square') }} from judged"
    )
    return {(row[0], row[1]): row[2:] for row in found}


def test_curves_are_those_of_the_library(empty_build: EmptyBuild) -> None:
    """statsmodels 0.14 and later, SurvfuncRight: share and standard error at each event."""
    groups = {f"g{n}": random_cases(n, n) for n in (1, 2, 3, 5, 8, 13, 40, 200, 900)}
    for group, curve in _curves(empty_build, groups).items():
        seen = groups[group]
        if not any(s for _, s in seen):
            continue
        library = SurvfuncRight([t for t, _ in seen], [int(s) for _, s in seen])
        events = [row for row in curve if row[1]]
        assert [row[0] for row in events] == list(library.surv_times)
        assert [row[2] for row in events] == pytest.approx(list(library.surv_prob), abs=1e-12)
        for row, error in zip(events, library.surv_prob_se, strict=True):
            # The error of the last of all is not defined: empty here, not a number there.
            assert (row[3] is None and isnan(error)) or row[3] == pytest.approx(error, rel=1e-9)


def _interval(curve: list[tuple[Any, ...]]) -> tuple[float | None, float | None]:
    """First times at which the lower and the upper end of the interval are at or under a half."""
    low = high = None
    for hours, _, share, error, *_ in curve:
        if share == 0:
            low = hours if low is None else low
        elif share < 1:
            spread = 1.959963984540054 * error / (share * -log(share))
            if low is None and share ** exp(spread) <= 0.5:
                low = hours
            if high is None and share ** exp(-spread) <= 0.5:
                high = hours
    return low, high


def test_medians_and_their_intervals_are_those_of_the_library(empty_build: EmptyBuild) -> None:
    """statsmodels: quantile and quantile_ci(method='cloglog').

    Its median is the first time with less than a half open, where ours is the middle of a stretch
    at exactly a half; its interval ends with the last time whose own test does not reject a half.
    """
    groups = {f"g{seed}": random_cases(seed, 10 + 7 * seed) for seed in range(30)}
    curves, medians = _curves(empty_build, groups), _medians(empty_build, groups)
    compared = 0
    for group, seen in groups.items():
        library = SurvfuncRight([t for t, _ in seen], [int(s) for _, s in seen])
        found, low, high, _ = medians[group]
        at_half = [t for t, p in zip(library.surv_times, library.surv_prob, strict=True)
                   if abs(p - 0.5) < 1e-9]  # fmt: skip
        after = library.quantile(0.5)
        expected = mean([at_half[0], after]) if at_half else after
        assert found == pytest.approx(expected) if not isnan(expected) else found is None
        assert (low, high) == _interval([row for row in curves[group] if row[1]])
        if library.surv_prob[-1] > 0:
            lower, upper = library.quantile_ci(0.5, method="cloglog")
            assert (low, high) == (lower, None if np.isinf(upper) else upper)
            compared += 1
    assert compared > 20


def test_without_open_cases_the_median_is_the_ordinary_one(empty_build: EmptyBuild) -> None:
    groups = {f"g{n}": [(t, True) for t, _ in random_cases(n, n)] for n in range(1, 40)}
    for group, (found, _, _, naive) in _medians(empty_build, groups).items():
        assert found == naive == median(t for t, _ in groups[group])


def test_nobody_finished_has_no_median_and_all_at_once_has_no_upper_end(
    empty_build: EmptyBuild,
) -> None:
    groups = {"open": [(5.0, False)] * 12, "at once": [(5.0, True)] * 12}
    assert _medians(empty_build, groups) == {
        "open": (None, None, None, None),
        "at once": (5, 5, None, 5),
    }
    assert _curves(empty_build, groups) == {
        "open": [(5, 0, 1, 0, None, None)],
        "at once": [(5, 12, 0, None, None, None)],
    }


def test_log_rank_is_that_of_the_library(empty_build: EmptyBuild) -> None:
    """statsmodels: survdiff(time, status, group, strata=...), each home against all others."""
    rows: list[tuple[str, str, str, float, bool]] = []
    for seed in range(8):
        for place, home in enumerate(["A", "B", "C"]):
            for layer, stratum in enumerate(["intact", "autopsied", "other"][: 1 + seed % 3]):
                cases = random_cases(
                    1000 * seed + 10 * place + layer, 6 + 9 * place + 20 * (seed % 4),
                    1 + 0.25 * place * (seed % 3) + layer,
                )  # fmt: skip
                rows += [(f"s{seed}", stratum, home, t, s) for t, s in cases]
        # A stratum that one home alone has says nothing about it.
        rows += [(f"s{seed}", "alone", "A", t, s) for t, s in random_cases(seed, 9)]
    found = _log_rank(empty_build, rows)
    assert len(found) == 24
    for (seed_name, home), (_, _, chi_square, p) in found.items():
        mine = [row[1:] for row in rows if row[0] == seed_name and row[1] != "alone"]
        expected = survdiff(
            np.array([row[2] for row in mine]), np.array([int(row[3]) for row in mine]),
            np.array([row[1] == home for row in mine]), strata=np.array([row[0] for row in mine]),
        )  # fmt: skip
        assert (chi_square, p) == (
            pytest.approx(expected[0], rel=1e-8, abs=1e-10),
            pytest.approx(expected[1], abs=2e-7),
        )


def test_a_home_without_anyone_to_be_compared_with_has_no_statistic(
    empty_build: EmptyBuild,
) -> None:
    rows = [("s", "intact", "A", t, s) for t, s in random_cases(1, 300)]
    rows += [("s", "autopsied", "B", t, s) for t, s in random_cases(2, 300)]
    assert [row[2:] for row in _log_rank(empty_build, rows).values()] == [(None, None)] * 2


#: Chi-square of one degree of freedom -> chance in the upper tail, as in any printed table.
CHANCES = {0.0: 1.0, 0.455: 0.5, 2.706: 0.1, 3.841: 0.05, 6.635: 0.01, 10.828: 0.001, 1e6: 0.0}


def test_chances_are_those_of_the_tables(empty_build: EmptyBuild) -> None:
    listed = ", ".join(f"({x})" for x in CHANCES)
    rows = empty_build.rows(
        "select x, {{ chi_square_tail('x') }} from "
        f"(select cast(v as double) as x from (values {listed}) as listed (v)) as typed"
    )
    assert {float(x): p for x, p in rows} == {
        x: pytest.approx(p, rel=0.001, abs=1.5e-7) for x, p in CHANCES.items()
    }


def test_finished_cases_alone_make_a_step_look_faster_than_it_is(empty_build: EmptyBuild) -> None:
    """Twelve cases that need 10, 20, ... 120 h, seen for 100, 80 and 60 h in turn.

    True median 65 h, mean 65 h. Those that need 90, 110 and 120 h are still open after 60, 80 and
    60 h. Finished alone (10 to 80, 100): median 50 h, mean 51.1 h. Product limit: half are open
    after 60 h, and until 70 h: 65 h.
    """
    needed = [10.0 * n for n in range(1, 13)]
    seen_for = [100.0, 80.0, 60.0] * 4
    seen = [(min(n, w), n <= w) for n, w in zip(needed, seen_for, strict=True)]
    finished = [t for t, s in seen if s]
    found, low, high, naive = _medians(empty_build, {"g": seen})["g"]
    assert (median(needed), mean(needed)) == (65, 65)
    assert (median(finished), mean(finished)) == (50, pytest.approx(51.1, abs=0.02))
    assert (naive, found) == (50, 65)
    assert low < 65 and (high is None or high > 65)


@pytest.mark.parametrize("seed", range(3))
def test_median_over_many_cases_is_the_true_one_and_the_finished_alone_are_not(
    empty_build: EmptyBuild, seed: int
) -> None:
    """Needed hours are exponential with mean 12 h: true median 12 ln 2 = 8.3 h."""
    dice = random.Random(seed)
    seen: list[Seen] = []
    for _ in range(4000):
        needed, seen_for = dice.expovariate(1 / 12), dice.uniform(0, 20)
        seen.append((round(min(needed, seen_for), 4), needed <= seen_for))
    found, low, high, naive = _medians(empty_build, {"g": seen})["g"]
    true = 12 * log(2)
    assert found == pytest.approx(true, abs=4 * 12 / sqrt(4000))
    assert low - 0.5 < true < high + 0.5
    assert naive < 0.75 * true
