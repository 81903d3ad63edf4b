"""A small warehouse with known answers and hostile text, made by SQL alone."""

from datetime import UTC, datetime
from pathlib import Path

import duckdb

from pipelines.feeds import FEEDS

AS_OF = datetime(2026, 11, 16, 12, tzinfo=UTC)
#: Personal names in it, for tests that no page without need carries one.
NAMES = ("Testfamily", "Given", "O'Hara", "Łuk")


def make(path: Path) -> Path:
    """Write the warehouse at ``path``: accepted tables by declaration, the rest by the SQL files."""
    with duckdb.connect(str(path)) as connection:
        connection.execute("create schema accepted; create schema held")
        for feed in FEEDS.values():
            connection.execute(f"create table accepted.{feed.name} ({feed.ddl})")
            connection.execute(f"create table held.{feed.name} ({feed.ddl})")
        for script in sorted(Path(__file__).parent.glob("*.sql")):
            connection.execute(script.read_text(encoding="utf-8"))
    return path
