"""Drops of the generator, read back as text."""

from collections.abc import Callable, Iterator

import duckdb
import pytest

from pipelines.demo_group import Drop, generate
from pipelines.feeds import GROUP_FEEDS
from pipelines.sqltext import literal

#: Ten sets of shelves, without plants: what must be lawful as it stands.
LAWFUL_CASES = 4_800


def tables_of(drop: Drop) -> duckdb.DuckDBPyConnection:
    """A database with each feed of the drop as a table of text."""
    con = duckdb.connect()
    for name, file in drop.files.items():
        columns = ", ".join(f"'{column}': 'VARCHAR'" for column in GROUP_FEEDS[name].column_names)
        con.execute(
            f"create table {name} as from read_csv({literal(str(file))}, header = true, "
            f"auto_detect = false, delim = ',', quote = '\"', escape = '\"', "
            f"columns = {{{columns}}})"
        )
    return con


@pytest.fixture(scope="session")
def small_drop(tmp_path_factory: pytest.TempPathFactory) -> Drop:
    return generate(tmp_path_factory.mktemp("small"))


@pytest.fixture(scope="session")
def lawful_drop(tmp_path_factory: pytest.TempPathFactory) -> Drop:
    return generate(tmp_path_factory.mktemp("lawful"), LAWFUL_CASES, with_plants=False)


@pytest.fixture(scope="session")
def lawful(lawful_drop: Drop) -> Iterator[duckdb.DuckDBPyConnection]:
    with tables_of(lawful_drop) as con:
        yield con


@pytest.fixture
def one(lawful: duckdb.DuckDBPyConnection) -> Callable[[str], float]:
    """The only figure of a query over the lawful drop."""

    def ask(query: str) -> float:
        return float(lawful.execute(query).fetchall()[0][0])

    return ask
