"""The models are read while a first run loads; whatever becomes of that, the run goes on."""

import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from pipelines.run import read_ahead
from pipelines.run.dbt import are_models_read, build_models
from pipelines.run.read_ahead import models_read_ahead
from tests.models.project import FINDING_MODELS, make_empty_warehouse

NAME = "w.duckdb"


def test_the_reading_is_kept_and_no_second_process_is_started_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    assert not are_models_read(Path(NAME), [])
    with models_read_ahead(Path(NAME), []) as wait:
        wait()
        assert are_models_read(Path(NAME), [])
    monkeypatch.setattr(read_ahead, "start", lambda *_, **__: pytest.fail("read again"))
    with models_read_ahead(Path(NAME), []) as wait:
        wait()


def test_a_reading_that_comes_to_nothing_only_costs_time(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", "/proc/nowhere")
    warehouse = tmp_path / NAME
    make_empty_warehouse(warehouse)
    with models_read_ahead(warehouse, FINDING_MODELS) as wait:
        outcome = build_models(warehouse, datetime(2026, 11, 16, 12), FINDING_MODELS, wait)
    assert not are_models_read(warehouse, FINDING_MODELS)
    assert outcome.models > 100


def test_a_reading_that_hangs_holds_no_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    sleeping = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(600)"])
    monkeypatch.setattr(read_ahead, "start", lambda *_, **__: sleeping)
    monkeypatch.setattr(read_ahead, "_LONGEST_WAIT", 0.2)
    with models_read_ahead(Path(NAME), []) as wait:
        wait()
        assert sleeping.poll() is not None
