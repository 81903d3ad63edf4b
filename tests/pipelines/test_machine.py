"""A full disk or a missing right is told as such: no file is called damaged for it."""

import errno
import gzip
import os
import shutil
import tempfile
from pathlib import Path

import pytest

from pipelines.errors import DropError
from pipelines.room import NoRoom

from .conftest import Bench

SAMPLES = (
    "sample_id,location_id,started_at,minutes,formaldehyde_ppm,sample_kind\n"
    "AS-1,CARE,2026-06-10T09:00-05:00,480,0.21,shift\n"
)


class _Full:
    """A scratch folder on a full disk: what is written there goes to the device that is full."""

    def __init__(self, prefix: str) -> None:
        self._folder = tempfile.mkdtemp(prefix=prefix)

    def __enter__(self) -> str:
        for name in ("unpacked", "text"):
            (Path(self._folder) / name).symlink_to("/dev/full")
        return self._folder

    def __exit__(self, *_: object) -> None:
        shutil.rmtree(self._folder)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("air_samples.csv.gz", gzip.compress(SAMPLES.encode())),
        ("air_samples.csv", SAMPLES.encode("utf-16")),
    ],
)
def test_a_full_disk_is_told_and_no_file_is_set_aside_for_it(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, name: str, content: bytes
) -> None:
    monkeypatch.setattr("tempfile.TemporaryDirectory", _Full)
    monkeypatch.setattr("pipelines.load.prove.TemporaryDirectory", _Full)
    bench.write(name, content)
    with pytest.raises(NoRoom, match=f"(?s)no room to read {name}.*Free some room") as told:
        bench.load()
    assert "Pack it again" not in str(told.value)
    assert bench.rows("select count(*) from raw.files") == [(0,)]


@pytest.mark.parametrize("name", ["air_samples.csv.gz", "air_samples.csv", "week.zip"])
def test_a_missing_right_is_told_and_no_damage(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), name)

    bench.write(name, b"whatever")
    for opener in ("gzip.open", "zipfile.ZipFile", "pathlib.Path.open"):
        monkeypatch.setattr(opener, refuse)
    told = rf"(?s){name} cannot be read: Permission denied.*the right"
    with pytest.raises(DropError, match=told):
        bench.load()
