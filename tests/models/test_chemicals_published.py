"""Published figures and worked examples, computed by the real models.

Inputs stand in ``money_scenario.chemicals``; each source stands beside its check.
"""

from collections.abc import Iterator

import duckdb
import pytest

from tests.models.money_warehouse import money_warehouse


@pytest.fixture(scope="module")
def con() -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect(str(money_warehouse()), read_only=True) as connection:
        yield connection


def _use(con: duckdb.DuckDBPyConnection, case: str) -> tuple[float, float, float | None]:
    rows = con.execute(
        "select concentrate_ml, formaldehyde_g, strength_g_per_100ml"
        " from marts.chemical_use_by_case where case_number = ? and location_id = 'CARE'",
        [case],
    ).fetchall()
    (row,) = rows
    return row[0], row[1], row[2]


def test_a_bottle_of_index_25_holds_118_29_grams(con: duckdb.DuckDBPyConnection) -> None:
    # Index = grams of formaldehyde per 100 mL at 20 C: US federal item descriptions A-A-52075
    # (arterial, section 1.2) and A-A-50170 (cavity, section 2.1). 16 US fl oz = 473.176 mL.
    volume, grams, _ = _use(con, "one bottle")
    assert volume == pytest.approx(473.176, abs=0.001)
    assert grams == pytest.approx(118.29, abs=0.005)


def test_three_gallons_at_two_per_cent_and_two_bottles_of_cavity_fluid(
    con: duckdb.DuckDBPyConnection,
) -> None:
    # C1V1 = C2V2 with the index of A-A-52075 and A-A-50170: 30.72 fl oz of index 25 make three US
    # gallons of 2 g per 100 mL (227.1 g); 32 fl oz of index 24 are 227.1 g more. Worked by hand:
    # 11,356.23 mL x 0.02 = 227.12; 946.352 mL x 0.24 = 227.12; together 454.25 g.
    _, grams, strength = _use(con, "three gallons and two bottles")
    assert grams == pytest.approx(454.2, abs=0.1)
    assert strength == pytest.approx(2.0, abs=0.0005)


def test_ten_and_a_quarter_ounces_of_index_25_to_the_gallon_are_two_per_cent(
    con: duckdb.DuckDBPyConnection,
) -> None:
    # oz = 128 x target / index = 128 x 2 / 25 = 10.24 fl oz to a US gallon of finished solution,
    # which holds 3785.41 mL x 0.02 = 75.71 g.
    _, grams, strength = _use(con, "two per cent")
    assert grams == pytest.approx(75.71, abs=0.005)
    assert strength == pytest.approx(2.0, abs=0.0005)


def test_the_eight_hour_average_of_the_standard_is_81_25_ppm(
    con: duckdb.DuckDBPyConnection,
) -> None:
    # 29 CFR 1910.1000(d)(1)(ii): two hours at 150, two at 75 and four at 50 ppm.
    rows = con.execute(
        "select distinct twa_8h_ppm from marts.air_samples where location_id = 'IVY'"
    ).fetchall()
    assert rows == [(81.25,)]


def test_the_average_divides_by_eight_hours_also_when_less_was_sampled(
    con: duckdb.DuckDBPyConnection,
) -> None:
    # 72.8 min is the mean embalming and 1.4 ppm the highest task average of J Occup Environ Hyg
    # 2022;19(7):425; over 8 hours (29 CFR 1910.1000(d)(1)(i)) that is 1.4 x 72.8 / 480.
    rows = con.execute(
        "select twa_8h_ppm, is_over from marts.air_samples"
        " where location_id = 'CARE' and sample_kind = 'task'"
    ).fetchall()
    assert rows == [(pytest.approx(0.2123, abs=0.0001), False)]


def test_samples_are_held_to_the_limits_of_the_standard(con: duckdb.DuckDBPyConnection) -> None:
    # 29 CFR 1910.1048(c)(1) and (c)(2): 0.75 ppm over 8 hours, 2 ppm over 15 minutes.
    rows = con.execute(
        "select distinct sample_kind, limit_ppm from marts.air_samples order by all"
    ).fetchall()
    assert rows == [("shift", 0.75), ("short_term", 2.0), ("task", 0.75)]


def test_the_sixteen_items_stand_under_their_paragraphs(con: duckdb.DuckDBPyConnection) -> None:
    # 16 CFR 453.2(b)(4)(ii)(A)-(M) and (iii)(A)-(C): thirteen and three, sixteen in all.
    rows = con.execute(
        "select item_number, paragraph from marts.price_list_completeness"
        " where location_id = 'ALDER' and effective_from = date '2026-08-01' order by item_number"
    ).fetchall()
    paragraphs = [f"(ii)({c})" for c in "ABCDEFGHIJKLM"] + [f"(iii)({c})" for c in "ABC"]
    assert rows == list(enumerate(paragraphs, start=1))


def test_a_full_list_is_complete_and_a_short_one_lacks_what_it_lacks(
    con: duckdb.DuckDBPyConnection,
) -> None:
    rows = con.execute(
        "select location_id, category, is_sold from marts.price_list_completeness"
        " where state = 'not listed' and location_id in ('ALDER', 'BIRCH', 'ELM') order by all"
    ).fetchall()
    assert rows == [
        ("BIRCH", "casket_range_or_prices", False),
        ("ELM", "casket_range_or_prices", False),
        ("ELM", "limousine", True),
    ]
