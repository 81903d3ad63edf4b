"""Chance is drawn from keys, evenly, and bent as the text says."""

from collections.abc import Iterator
from math import exp
from statistics import NormalDist

import duckdb
import pytest

from pipelines.demo_group.scripts import run_script

SIGMA = 0.6


@pytest.fixture(scope="module")
def con() -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect() as con:
        run_script(con, "00_chance")
        yield con


def test_the_knots_are_those_of_a_log_normal(con: duckdb.DuckDBPyConnection) -> None:
    """Quantiles of exp(0.6 z), z from Python's own normal distribution."""
    shares = [i / 20 for i in range(1, 20)]
    expected = [round(1000 * exp(SIGMA * NormalDist().inv_cdf(share))) for share in shares]
    # A draw is twice the lowest fifteen bits of what it is drawn from.
    drawn = con.execute(
        "select skewed(twentieth * 65536 // 20 // 2, 0, 1000) from range(1, 20) as t (twentieth) "
        "order by twentieth"
    ).fetchall()
    assert [minutes for (minutes,) in drawn] == pytest.approx(expected, rel=0.002, abs=2)


def test_draws_are_spread_evenly(con: duckdb.DuckDBPyConnection) -> None:
    """Chi-square over 16 cells, 15 degrees of freedom: below 37.7 in 999 of 1,000 (tables)."""
    counts = con.execute(
        "select count(*) from range(16000) as keys (i) "
        "group by draw(draws('key:' || i), 16) // 4096"
    ).fetchall()
    assert len(counts) == 16
    assert sum((n - 1000) ** 2 / 1000 for (n,) in counts) < 37.7


def test_the_same_key_gives_the_same_draw_for_ever(con: duckdb.DuckDBPyConnection) -> None:
    """md5('abc') = 900150983cd24fb0d6963f7d28e17f72 (RFC 1321, A.5), its first eight bytes read
    little-endian and halved."""
    first_half = int.from_bytes(bytes.fromhex("900150983cd24fb0"), "little") >> 1
    second_half = int.from_bytes(bytes.fromhex("d6963f7d28e17f72"), "little") >> 1
    assert con.execute("select draws('abc')").fetchall()[0][0] in {first_half, second_half}


@pytest.mark.parametrize(
    ("number", "width", "text"), [("7", 4, "0007"), ("1234", 4, "1234"), ("12345", 4, "12345")]
)
def test_long_numbers_are_not_cut(
    con: duckdb.DuckDBPyConnection, number: str, width: int, text: str
) -> None:
    assert con.execute(f"select padded({number}, {width})").fetchall() == [(text,)]
