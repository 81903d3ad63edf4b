"""Which settings a run goes by: those named, else the drop's, else those of the last run."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from pipelines.errors import LedgerstoneError
from pipelines.load import create_schemas
from pipelines.run.database import building
from pipelines.run.source_settings import keep_settings, settings_in_force

RUN_AT = datetime(2026, 11, 16, 12, tzinfo=UTC)


def _says(zone: str) -> str:
    return f"[sources.north]\nzone = '{zone}'\n"


def _zone(named: Path | None, drop: Path, warehouse: Path) -> str | None:
    return settings_in_force(named, drop, warehouse).settings.sources["north"].zone


def test_named_settings_win_then_those_of_the_drop_then_those_kept(tmp_path: Path) -> None:
    drop, warehouse, named = tmp_path / "drop", tmp_path / "w.duckdb", tmp_path / "named.toml"
    drop.mkdir()
    with building(warehouse) as con:
        create_schemas(con)
        keep_settings(con, _says("America/Chicago"), RUN_AT)
        keep_settings(con, _says("America/Denver"), RUN_AT)
        keep_settings(con, _says("America/Denver"), RUN_AT)
        assert con.execute("select count(*) from raw.settings").fetchall() == [(2,)]
    assert _zone(None, drop, warehouse) == "America/Denver"
    (drop / "sources.toml").write_text(_says("America/New_York"))
    assert _zone(None, drop, warehouse) == "America/New_York"
    named.write_text(_says("Europe/Dublin"))
    assert _zone(named, drop, warehouse) == "Europe/Dublin"


def test_without_any_settings_nothing_is_declared(tmp_path: Path) -> None:
    found = settings_in_force(None, tmp_path, tmp_path / "none.duckdb")
    assert found.settings.sources == {}
    assert found.text == ""


def test_a_wrong_settings_file_in_the_drop_stops_the_run(tmp_path: Path) -> None:
    (tmp_path / "sources.toml").write_text("[sources.north]\nzona = 'UTC'\n")
    with pytest.raises(LedgerstoneError, match="Did you mean zone"):
        settings_in_force(None, tmp_path, tmp_path / "none.duckdb")
