"""The reading of the models is kept, and read anew on any doubt."""

from pathlib import Path

import pytest
from dbt.contracts.graph.manifest import Manifest

from pipelines.run.manifest import kept_manifest


@pytest.fixture
def project(tmp_path: Path, monkeypatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    folder = tmp_path / "project"
    folder.mkdir()
    (folder / "model.sql").write_text("select 1")
    return folder


class _Parser:
    def __init__(self) -> None:
        self.calls = 0

    def __call__(self) -> Manifest:
        self.calls += 1
        return Manifest()


def test_models_are_read_once_until_they_change(project: Path) -> None:
    parser = _Parser()
    kept_manifest(project, ["a"], parser)
    kept_manifest(project, ["a"], parser)
    assert parser.calls == 1
    kept_manifest(project, ["a", "b"], parser)
    assert parser.calls == 2
    (project / "model.sql").write_text("select 2")
    kept_manifest(project, ["a", "b"], parser)
    assert parser.calls == 3


def test_damaged_manifest_is_read_anew_and_replaced(project: Path, tmp_path: Path) -> None:
    parser = _Parser()
    kept_manifest(project, [], parser)
    (kept,) = (tmp_path / "cache" / "ledgerstone").iterdir()
    kept.write_bytes(b"\x93damaged")
    kept_manifest(project, [], parser)
    kept_manifest(project, [], parser)
    assert parser.calls == 2


def test_folder_that_cannot_be_written_only_costs_time(project: Path, monkeypatch) -> None:
    parser = _Parser()
    monkeypatch.setenv("XDG_CACHE_HOME", "/proc/nowhere")
    kept_manifest(project, [], parser)
    kept_manifest(project, [], parser)
    assert parser.calls == 2


def test_a_reading_that_finds_no_room_leaves_no_file(project: Path, tmp_path, monkeypatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("pathlib.Path.replace", refuse)
    kept_manifest(project, [], _Parser())
    assert list((tmp_path / "cache" / "ledgerstone").iterdir()) == []
