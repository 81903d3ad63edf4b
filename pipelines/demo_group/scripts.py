"""SQL of this package, run by name."""

from collections.abc import Collection
from importlib.resources import files

import duckdb

_FOLDER = files("pipelines.demo_group") / "sql"


def run_script(con: duckdb.DuckDBPyConnection, *names: str, as_views: Collection[str] = ()) -> None:
    """Run the named scripts of ``sql/`` in that order.

    Tables in ``as_views`` are made as views: what is only written out need not be kept.
    """
    for name in names:
        sql = (_FOLDER / f"{name}.sql").read_text(encoding="utf-8")
        for table in as_views:
            sql = sql.replace(
                f"create or replace temp table {table} as", f"create temp view {table} as"
            )
        con.execute(sql)
