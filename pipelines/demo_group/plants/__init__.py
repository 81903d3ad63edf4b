"""Planted faults and their lawful twins, a module a family.

A new plant is one more entry in one of them.

Where a rule leaves room the plants take this reading. Waiting counts from death to the start of the
cremation, by the law of the crematory. Care counts from death for people fetched at home and from
receipt for those whom another keeper had. Two people of a pair: the finding is the later one's. A
person is unmoved when the last event that is no count is more than a week old. Capacity is judged
over everyone at a place, so it is planted in the smallest drop only, as are the overdue sample
(other rooms' samples would answer it) and lines that no table can hold. A drop of more than 10,000
cases also has one case in a hundred broken, which the key does not list.
"""

import duckdb

from pipelines.demo_group.plants import (
    ashes,
    bands,
    bills,
    care,
    chain,
    checks,
    chemicals,
    contract,
    discs,
    exports,
    holds,
    identity,
    instructions,
    lists,
    merchandise,
    names,
    papers,
    parse,
    place,
    prices,
    records,
    two_cases,
)
from pipelines.demo_group.plants.plant import Plant
from pipelines.demo_group.plants.sow import sow

#: Those that ask most of a case first; capacity, which counts everybody, and what moves nobody, last.
PLANTS: tuple[Plant, ...] = (
    *identity.PLANTS,
    *discs.PLANTS,
    *checks.PLANTS,
    *two_cases.PLANTS,
    *papers.PLANTS,
    *instructions.PLANTS,
    *holds.PLANTS,
    *care.PLANTS,
    *chemicals.PLANTS,
    *merchandise.PLANTS,
    *lists.PLANTS,
    *prices.PLANTS,
    *bills.PLANTS,
    *contract.PLANTS,
    *chain.PLANTS,
    *parse.PLANTS,
    *records.PLANTS,
    *exports.PLANTS,
    *place.PLANTS,
    *names.PLANTS,
    *bands.PLANTS,
    *ashes.PLANTS,
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
