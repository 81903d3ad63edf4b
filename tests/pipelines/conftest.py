"""A small warehouse in memory that takes files written by a test."""

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import duckdb
import pytest

from pipelines.feeds import FEEDS
from pipelines.load import LoadSummary, create_schemas, find_files, load_drop
from pipelines.load.versions import rank_versions
from pipelines.run.database import settings
from validation.account import account_files, reject_unreadable
from validation.parse import parse_feed

LOADED_AT = datetime(2026, 11, 16, 12, tzinfo=UTC)


class Bench:
    """A drop folder and a warehouse in memory."""

    def __init__(self, con: duckdb.DuckDBPyConnection, drop: Path) -> None:
        self.con = con
        self.drop = drop

    def write(self, name: str, text: str | bytes) -> Path:
        path = self.drop / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    def feed_file(self, feed: str, *records: dict[str, str], name: str | None = None) -> Path:
        """A file of the feed: the declared examples, overridden per record."""
        columns = FEEDS[feed].columns
        rows = [",".join(c.name for c in columns)]
        rows += [
            ",".join(_quoted(record.get(c.name, c.example)) for c in columns) for record in records
        ]
        return self.write(name or f"{feed}-2026-11-16.csv", "\n".join(rows) + "\n")

    def load(self) -> LoadSummary:
        return load_drop(self.con, find_files(self.drop), LOADED_AT)

    def parse(self) -> None:
        self.load()
        loaded = {name for (name,) in self.rows("select distinct feed from raw.files")}
        for feed in (FEEDS[name] for name in FEEDS if name in loaded):
            rank_versions(self.con, feed)
            parse_feed(self.con, feed)
        reject_unreadable(self.con)
        account_files(self.con)

    def rows(self, query: str) -> list[tuple[object, ...]]:
        return self.con.execute(query).fetchall()


def _quoted(value: str) -> str:
    return '"' + value.replace('"', '""') + '"'


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    drop = tmp_path / "drop"
    drop.mkdir()
    with duckdb.connect(":memory:") as con:
        for statement in settings():
            con.execute(statement)
        create_schemas(con)
        yield Bench(con, drop)


@pytest.fixture
def parsed_value(bench: Bench) -> Callable[[str, str, str], tuple[object, ...]]:
    """Parse one value of one column: (typed columns..., rule or None)."""

    def parse(feed: str, column: str, text: str) -> tuple[object, ...]:
        bench.feed_file("locations", {})
        bench.feed_file(feed, {column: text})
        bench.parse()
        names = ", ".join(t.name for t in FEEDS[feed].column(column).typed_columns)
        typed = bench.rows(f"select {names} from accepted.{feed}")[0]
        rule = bench.rows(f"select rule_code from quality.rejects where column_name = '{column}'")
        return (*typed, rule[0][0] if rule else None)

    return parse
