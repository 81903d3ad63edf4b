"""Direct standardisation against a printed example and against its own arithmetic in numpy."""

import numpy as np
import pytest

from tests.models.conftest import EmptyBuild

#: A printed exercise of age adjustment with its solution (deaths per 1,000 by age group; standard:
#: population of the United States in 1992): under 15, 15 to 44, 45 to 64, 65 and over.
STANDARD = (57_421_054, 118_956_356, 50_888_153, 33_158_009)
DEATH_RATES = {"Indiana": (0.92, 1.31, 7.28, 52.10), "Alaska": (0.96, 1.85, 6.19, 41.69)}
#: Its solution: expected deaths 2,306,658,219 and 1,972,548,533 per 1,000 over 260,423,572 people.
ADJUSTED = {"Indiana": 2_306_658_219 / 260_423_572, "Alaska": 1_972_548_533 / 260_423_572}


def _rows(build: EmptyBuild, counts: str, standard: str) -> list[tuple[object, ...]]:
    return build.rows(
        f"with counts as (select * from (values {counts}) as v (place, stratum, events, trials)), "
        f"standard as (select * from (values {standard}) as v (stratum, weight)) "
        "select place, standardised_share, crude_share, standard_error, covered_share "
        "from ({{ directly_standardised('counts', 'standard') }}) order by place"
    )


def test_age_adjusted_death_rates_are_those_of_the_printed_solution(
    empty_build: EmptyBuild,
) -> None:
    counts = ", ".join(
        f"('{state}', {group}, {rate}::double, 1)"
        for state, rates in DEATH_RATES.items()
        for group, rate in enumerate(rates)
    )
    standard = ", ".join(f"({group}, {people}::double)" for group, people in enumerate(STANDARD))
    found = {str(place): value for place, value, *_ in _rows(empty_build, counts, standard)}
    assert found == {state: pytest.approx(rate, rel=1e-6) for state, rate in ADJUSTED.items()}
    assert ADJUSTED["Indiana"] == pytest.approx(8.86, abs=0.005)
    assert ADJUSTED["Alaska"] == pytest.approx(7.57, abs=0.005)


@pytest.mark.parametrize("seed", range(5))
def test_shares_and_errors_are_those_of_the_textbook_formula(
    empty_build: EmptyBuild, seed: int
) -> None:
    """Sum of w p over sum of w; variance sum of w squared p (1 - p) / n (numpy)."""
    dice = np.random.default_rng(seed)
    trials = dice.integers(1, 30, 6)
    events = dice.binomial(trials, 0.4)
    weights = dice.integers(5, 90, 6).astype(float)
    counts = ", ".join(
        f"('P', {i}, {k}, {n})" for i, (k, n) in enumerate(zip(events, trials, strict=True)) if i
    )
    standard = ", ".join(f"({i}, {w}::double)" for i, w in enumerate(weights))
    ((_, share, crude, error, covered),) = _rows(empty_build, counts, standard)
    p, n, w = (events / trials)[1:], trials[1:], weights[1:]
    assert share == pytest.approx(np.average(p, weights=w))
    assert crude == pytest.approx(events[1:].sum() / n.sum())
    assert error == pytest.approx(np.sqrt((w**2 * p * (1 - p) / n).sum()) / w.sum())
    assert covered == pytest.approx(w.sum() / weights.sum())


def test_a_home_with_everybodys_mix_keeps_its_share(empty_build: EmptyBuild) -> None:
    counts = "('A', 'x', 2, 10), ('A', 'y', 15, 30)"
    ((_, share, crude, _, covered),) = _rows(empty_build, counts, "('x', 100.0), ('y', 300.0)")
    assert share == pytest.approx(crude) == pytest.approx(17 / 40)
    assert covered == 1
