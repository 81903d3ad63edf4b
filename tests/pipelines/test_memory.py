"""How much memory the database may use, alone and divided."""

import duckdb
import pytest

from pipelines.memory import memory_limit


@pytest.mark.parametrize(
    ("given", "half"), [("2GB", "1GB"), ("3 GiB", "1.5GiB"), ("500MB", "250MB"), ("80%", "40%")]
)
def test_a_given_limit_is_divided_between_two(
    monkeypatch: pytest.MonkeyPatch, given: str, half: str
) -> None:
    monkeypatch.setenv("LEDGERSTONE_MEMORY_LIMIT", given)
    assert memory_limit() == given
    assert memory_limit(2) == half
    with duckdb.connect() as con:
        con.execute(f"set memory_limit = '{half}'")


def test_two_halves_of_the_machine_are_no_more_than_the_whole(
    monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("LEDGERSTONE_MEMORY_LIMIT", raising=False)
    whole, half = (int(memory_limit(shares).removesuffix("MiB")) for shares in (1, 2))
    assert whole - 1 <= 2 * half <= whole
