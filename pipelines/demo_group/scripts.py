"""SQL of this package, run by name."""

from importlib.resources import files

import duckdb

_FOLDER = files("pipelines.demo_group") / "sql"


def run_script(con: duckdb.DuckDBPyConnection, *names: str) -> None:
    """Run the named scripts of ``sql/`` in that order."""
    for name in names:
        con.execute((_FOLDER / f"{name}.sql").read_text(encoding="utf-8"))
