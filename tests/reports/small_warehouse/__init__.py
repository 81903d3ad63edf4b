"""A small warehouse with known answers and hostile text, made by SQL alone."""

from datetime import UTC, datetime
from pathlib import Path

import duckdb

from pipelines.load import create_schemas
from validation.publish_rules import publish_rules

AS_OF = datetime(2026, 11, 16, 12, tzinfo=UTC)
#: Personal names in it, for tests that no page without need carries one.
NAMES = ("Testfamily", "Testgiven", "O'Hara", "Łuk")


def make(path: Path) -> Path:
    """Write the warehouse at ``path``: schemas, rules and dictionary are the real ones."""
    with duckdb.connect(str(path)) as connection:
        create_schemas(connection)
        publish_rules(connection)
        for script in sorted(Path(__file__).parent.glob("*.sql")):
            connection.execute(script.read_text(encoding="utf-8"))
    return path
