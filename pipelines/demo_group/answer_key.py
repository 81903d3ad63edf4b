"""The answer key: every finding and held-back record of the drop, and what must stay silent."""

from pathlib import Path

import duckdb

COLUMNS = ("rule_code", "case_number", "record_key", "expected", "plant", "note")


def create(con: duckdb.DuckDBPyConnection) -> None:
    """Create the empty temp table ``answer_key`` with text columns ``COLUMNS``."""
    con.execute(
        f"create temp table answer_key ({', '.join(f'{name} varchar' for name in COLUMNS)})"
    )


def write(con: duckdb.DuckDBPyConnection, file: Path) -> None:
    """Write the key as CSV, found before silent, by rule, case and record."""
    con.execute(
        f"copy (select {', '.join(COLUMNS)} from answer_key order by rule_code, expected, "
        f"case_number nulls last, record_key, plant) to '{file}' (format csv, header true)"
    )
