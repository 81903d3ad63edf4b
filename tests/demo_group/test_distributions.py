"""The lawful drop of 4,800 cases against published shares; a tolerance of three standard errors."""

from collections.abc import Callable
from math import sqrt

import pytest

from tests.demo_group.conftest import LAWFUL_CASES

Ask = Callable[[str], float]


def three_errors(share: float, count: float = LAWFUL_CASES) -> float:
    return 3 * sqrt(share * (1 - share) / count)


@pytest.mark.parametrize(
    ("codes", "share", "source"),
    [
        ("'1', '2', '3'", 0.351, "hospital; MMWR 2020;69(19):611"),
        ("'4'", 0.314, "home; MMWR 2020;69(19):611"),
        ("'5', '6'", 0.268, "long-term care and hospice; MMWR 2020;69(19):611"),
    ],
)
def test_place_of_death(one: Ask, codes: str, share: float, source: str) -> None:
    seen = one(f"select avg((place_of_death_code in ({codes}))::integer) from cases")
    assert seen == pytest.approx(share, abs=three_errors(share)), source


def test_cremation_share(one: Ask) -> None:
    """60.5 % in 2023 (trade-association figure, quoted; secondary)."""
    seen = one("select avg((disposition_code = 'C')::integer) from cases")
    assert seen == pytest.approx(0.605, abs=three_errors(0.605))


def test_sex_and_age(one: Ask) -> None:
    """Male about 52 %, 65 and over about 73.5 %, 85 and over about 29 % (from memory)."""
    age = "date_diff('day', try_cast(date_of_birth as date), date_of_death::date) / 365.25"
    assert one("select avg((sex = 'M')::integer) from cases") == pytest.approx(
        0.52, abs=three_errors(0.52)
    )
    for from_age, share in ((65, 0.735), (85, 0.29)):
        seen = one(
            f"select avg(({age} >= {from_age})::integer) from cases "
            "where try_cast(date_of_birth as date) is not null"
        )
        assert seen == pytest.approx(share, abs=three_errors(share) + 0.01)


def test_season(one: Ask) -> None:
    """August 0.93 of the mean month (mean deaths 2010-2020, news analysis of CDC WONDER); the
    autumn months above it."""
    daily = (
        "select count(*) / count(distinct left(first_call_at, 10)) from cases "
        "where left(first_call_at, 7) = '{}'"
    )
    august, october = one(daily.format("2026-08")), one(daily.format("2026-10"))
    assert august / october == pytest.approx(0.93, abs=0.02)


def test_mass_of_cremated_remains(one: Ask) -> None:
    """Florida 2,430 g (876-3,784), sexes 1,053 g apart, 3.5 % of body mass (J Forensic Sci
    1997;42(3):417); Tennessee about 500 g heavier (2004;49(5):901): the mean lies between."""
    assert 2430 < one("select avg(remains_mass_g::double) from cases") < 2930
    apart = one(
        "select avg(remains_mass_g::double) filter (sex = 'M') "
        "- avg(remains_mass_g::double) filter (sex = 'F') from cases"
    )
    assert apart == pytest.approx(1053, abs=100)
    share = one("select avg(remains_mass_g::double / body_weight_kg::double / 1000) from cases")
    assert share == pytest.approx(0.035, abs=0.001)


def test_length_of_embalming(one: Ask) -> None:
    """Mean 72.8 minutes (J Occup Environ Hyg 2022;19(7):425); the drop's intact cases."""
    minutes = one(
        """
        select avg(date_diff('minute', started.occurred_at::timestamptz,
            finished.occurred_at::timestamptz))
        from custody_events as started
        inner join custody_events as finished using (case_number)
        inner join cases using (case_number)
        where started.action = 'embalming_started' and finished.action = 'embalming_finished'
            and is_autopsied = 'N'
        """
    )
    assert minutes == pytest.approx(72.8, abs=2)


def test_formaldehyde_of_an_embalming(one: Ask) -> None:
    """Worked case: 3 US gal at 2 g/100 mL and 32 fl oz of cavity fluid of index 24: 454.2 g.
    Index = grams per 100 mL (federal item descriptions A-A-52075, A-A-50170)."""
    grams = one(
        """
        select avg(grams) from (
            select case_number, sum(
                quantity::double * case supply_movements.unit when 'fl_oz' then 29.5735
                    when 'each' then content_ml::double else 1 end
                * formaldehyde_index::double / 100
            ) as grams
            from supply_movements
            inner join supply_items using (item_code)
            where movement_kind = 'issued' and formaldehyde_index is not null
            group by case_number
        )
        """
    )
    assert grams == pytest.approx(454.2, rel=0.06)


def test_air_of_the_preparation_rooms(one: Ask) -> None:
    """Shifts 0.007-1.1 ppm, tasks 0.058-1.4 ppm (J Occup Environ Hyg 2022;19(7):425)."""
    for kind, low, high in (("shift", 0.007, 1.1), ("task", 0.058, 1.4)):
        least = one(
            f"select min(formaldehyde_ppm::double) from air_samples where sample_kind = '{kind}'"
        )
        most = one(
            f"select max(formaldehyde_ppm::double) from air_samples where sample_kind = '{kind}'"
        )
        assert low < least < most < high


def test_prices_of_direct_cremation(one: Ask) -> None:
    """490-3,390 USD at 105 homes (Washington state 2014, consumer education fund)."""
    for bound in ("min", "max"):
        price = one(
            f"select {bound}(price::double) from price_lists where category = 'direct_cremation'"
        )
        assert 490 <= price <= 3390


def test_turnaround_has_its_long_tail(one: Ask) -> None:
    """Burials within 3-7 days and cremations within 5-14 as a rule (from memory); those seen by a
    medical examiner later."""
    days = """
        select quantile_cont(date_diff('minute', first_call_at::timestamptz,
            occurred_at::timestamptz) / 1440, {share})
        from cases inner join custody_events using (case_number) where action = '{action}'
    """
    assert 3 < one(days.format(share=0.5, action="buried")) < 7
    assert 5 < one(days.format(share=0.5, action="cremation_finished")) < 14
    assert one(days.format(share=0.99, action="cremation_finished")) > 12
