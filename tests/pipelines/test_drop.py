"""What stands in a drop beside exports: said, left alone, or refused."""

import os
from pathlib import Path

import pytest

from pipelines.errors import DropError
from pipelines.load.drop import NotAnArchive, files_of, find_files, not_read
from pipelines.sources import Settings

from .conftest import Bench

SAMPLES = (
    "sample_id,location_id,started_at,minutes,formaldehyde_ppm,sample_kind\n"
    "AS-1,CARE,2026-06-10T09:00-05:00,480,0.21,shift\n"
)


def test_what_is_no_file_is_not_read_and_said(bench: Bench) -> None:
    bench.write("air_samples-2026-11-16.csv", SAMPLES)
    (bench.drop / "cases-2026-11-06.csv").symlink_to("nowhere")
    os.mkfifo(bench.drop / "cases-2026-11-07.csv")
    (bench.drop / "cases-2026-11-08.csv").mkdir()
    (bench.drop / "older").mkdir()
    assert [file.name for file in find_files(bench.drop)] == ["air_samples-2026-11-16.csv"]
    told = not_read(bench.drop)
    assert {name: why.split(".")[0] for name, why in told.items()} == {
        "cases-2026-11-06.csv": "It is a link to a file that is not there",
        "cases-2026-11-07.csv": "It is no file that can be read again",
        "cases-2026-11-08.csv": "It is a folder",
        "older": "It is a folder",
    }


@pytest.mark.parametrize(
    "name", ["Thumbs.db", "desktop.ini", ".DS_Store", "._cases.csv", "~$cases-2026-11-16.xlsx"]
)
def test_what_systems_leave_in_a_folder_is_no_export_and_stops_nothing(
    bench: Bench, name: str
) -> None:
    bench.write("air_samples-2026-11-16.csv", SAMPLES)
    bench.write(name, b"\0")
    assert len(find_files(bench.drop)) == 1
    assert not_read(bench.drop) == {}


def test_a_data_file_of_no_known_feed_stops_the_run(bench: Bench) -> None:
    bench.write("customers.csv", "a,b\n")
    with pytest.raises(DropError, match="of no known feed"):
        find_files(bench.drop)


@pytest.mark.parametrize(("name", "feed"), [("air_samples-2026-11-16.zip", "air_samples"),
                                            ("week.zip", "")])  # fmt: skip
def test_a_damaged_archive_is_set_aside_as_every_damaged_file_is(
    bench: Bench, name: str, feed: str
) -> None:
    bench.write("air_samples-2026-11-17.csv", SAMPLES)
    damaged = bench.write(name, b"PK\x03\x04 torn")
    summary = bench.load()
    assert summary.records == 1
    assert "cannot be opened as an archive" in summary.set_aside[name]
    assert bench.rows("select file_name, feed from raw.files where set_aside is not null") == [
        (name, feed)
    ]
    with pytest.raises(NotAnArchive, match="Pack it again"):
        files_of(Path(damaged), Settings())
