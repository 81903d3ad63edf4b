"""What the columns of the marts mean, as their models declare it."""

from functools import cache
from pathlib import Path

import polars as pl
import yaml

from reports.warehouse import Warehouse

#: The same reader in C where the library was built with it, ten times as fast.
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_MARTS = Path(__file__).resolve().parents[1] / "models" / "marts"


def add_descriptions(warehouse: Warehouse) -> None:
    """Temporary tables ``mart_tables`` and ``mart_columns`` from ``models/marts/*.yml``."""
    tables, columns = _declared()
    warehouse.add("mart_tables", tables)
    warehouse.add("mart_columns", columns)


@cache
def _declared() -> tuple[pl.DataFrame, pl.DataFrame]:
    tables: list[tuple[str, str]] = []
    columns: list[tuple[str, str, str]] = []
    for path in sorted(_MARTS.glob("*.yml")):
        declared = yaml.load(path.read_text(encoding="utf-8"), Loader=_LOADER) or {}
        for model in declared.get("models", []):
            tables.append((model["name"], _flat(model)))
            columns += [(model["name"], c["name"], _flat(c)) for c in model.get("columns", [])]
    names = ("table_name", "column_name", "meaning")
    return (
        pl.DataFrame(tables, dict.fromkeys((names[0], names[2]), pl.String), orient="row"),
        pl.DataFrame(columns, dict.fromkeys(names, pl.String), orient="row"),
    )


def _flat(declared: dict[str, object]) -> str:
    return " ".join(str(declared.get("description", "")).split())
