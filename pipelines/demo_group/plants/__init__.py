"""Planted faults and their lawful twins, a module a family.

A new plant is one more entry in one of them.
"""

import duckdb

from pipelines.demo_group.plants import (
    care,
    chain,
    chemicals,
    contract,
    identity,
    merchandise,
    papers,
    parse,
    place,
    prices,
    records,
)
from pipelines.demo_group.plants.plant import Plant
from pipelines.demo_group.plants.sow import sow

#: Those that ask most of a case first; capacity, which counts everybody, last.
PLANTS: tuple[Plant, ...] = (
    *identity.PLANTS,
    *papers.PLANTS,
    *care.PLANTS,
    *chemicals.PLANTS,
    *merchandise.PLANTS,
    *prices.PLANTS,
    *contract.PLANTS,
    *chain.PLANTS,
    *parse.PLANTS,
    *records.PLANTS,
    *place.PLANTS,
)


def plant_all(con: duckdb.DuckDBPyConnection, is_small: bool) -> None:
    """Sow every plant that does not wait for the counts; ``is_small``: a drop to be read whole."""
    sow(con, (p for p in PLANTS if not p.after_counts and (is_small or not p.only_small)))


def plant_counts(con: duckdb.DuckDBPyConnection) -> None:
    """Sow the plants on the month-end counts."""
    sow(con, (p for p in PLANTS if p.after_counts))


def raw_lines() -> list[tuple[str, bytes]]:
    """Feed and bytes of lines that no table can hold."""
    return [p.raw for p in PLANTS if p.raw is not None]


__all__ = ["PLANTS", "Plant", "plant_all", "plant_counts", "raw_lines"]
