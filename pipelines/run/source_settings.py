"""Which settings of sources a run goes by, and their history in the warehouse."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import duckdb

from pipelines.load.drop import SETTINGS_NAME
from pipelines.run.database import reading
from pipelines.sources import Settings, read_settings
from pipelines.sources.read import parse_settings


@dataclass(frozen=True)
class InForce:
    """Settings and their text; ``text`` is empty where nothing was ever declared."""

    settings: Settings
    text: str


def settings_in_force(named: Path | None, drop: Path, warehouse: Path) -> InForce:
    """The settings named in the call, else those in the drop, else those of the last run.

    Raises:
        SettingsError: the file cannot be used, with the place and the nearest right name.
    """
    lying = drop / SETTINGS_NAME
    path = named or (lying if lying.is_file() else None)
    if path is not None:
        return InForce(*read_settings(path))
    text = _kept(warehouse) if warehouse.exists() else ""
    return InForce(parse_settings(text, "the settings kept in the warehouse"), text)


def _kept(warehouse: Path) -> str:
    with reading(warehouse) as con:
        has_settings = con.execute(
            "select count(*) from information_schema.tables "
            "where table_schema = 'raw' and table_name = 'settings'"
        ).fetchall()[0][0]
        return _newest(con) if has_settings else ""


def _newest(con: duckdb.DuckDBPyConnection) -> str:
    found = con.execute("select text from raw.settings order by rowid desc limit 1").fetchall()
    return str(found[0][0]) if found else ""


def keep_settings(con: duckdb.DuckDBPyConnection, text: str, run_at: datetime) -> None:
    """Add the settings to ``raw.settings`` when they are not those of the last run."""
    if text != _newest(con):
        con.execute("insert into raw.settings values (?, ?)", [text, run_at.replace(tzinfo=None)])
