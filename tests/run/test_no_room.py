"""A full disk ends with 2 and a sentence that names the place, whichever library met it.

A limit on the size of files is met as a full disk is, by the same calls, and needs no disk: what
writes more than that into one file is refused (getrlimit(2), EFBIG).
"""

import os
import resource
import subprocess
import sys
from pathlib import Path

import duckdb
import pytest

from pipelines.errors import CheckFailed, WarehouseError
from pipelines.load.machine import machine_is_told_apart
from pipelines.room import NoRoom, room_in
from tests.run.small_group import write_group
from tests.run.test_bad_input import fingerprint, ledgerstone

AT = ("--as-of", "2026-11-06T12:00Z")
FULL = Path("/dev/full")


def _limited(largest: int, *arguments: object) -> subprocess.CompletedProcess[str]:
    """The command where no file may grow beyond ``largest`` bytes."""
    return subprocess.run(
        [sys.executable, "-m", "pipelines.command", *map(str, arguments)],
        capture_output=True, text=True, timeout=120, check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (largest, largest)),
    )  # fmt: skip


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, Path]:
    """A drop, with the warehouse and the site that a run of it made."""
    folder = tmp_path_factory.mktemp("small")
    drop = write_group(folder / "drop", "2026-11-05", "A-1", "A-2")
    warehouse, site = folder / "data" / "w.duckdb", folder / "web" / "site"
    done = ledgerstone("run", drop, "--warehouse", warehouse, "--site", site, *AT)
    assert done.returncode == 0, done.stderr
    return drop, warehouse, site


#: What the built warehouse takes before its models, with its models; and no room for a page.
@pytest.mark.parametrize("largest", [100_000, 6_000_000])
def test_a_warehouse_that_finds_no_room_is_told_with_its_folder(small, largest: int) -> None:
    drop, warehouse, site = small
    before = fingerprint(warehouse, site)
    done = _limited(largest, "run", drop, "--warehouse", warehouse, "--site", site, *AT)
    assert done.returncode == 2, done.stderr
    assert f"There is no room left in {warehouse.parent}" in done.stderr
    assert "--warehouse" in done.stderr
    assert "ours" not in done.stderr
    assert fingerprint(warehouse, site) == before
    assert not list(warehouse.parent.glob("*building*"))


def test_pages_that_find_no_room_are_told_with_their_folder(small) -> None:
    _, warehouse, site = small
    before = fingerprint(site)
    done = _limited(20_000, "publish", "--warehouse", warehouse, "--site", site)
    assert done.returncode == 2, done.stderr
    assert f"There is no room left in {site.parent}" in done.stderr
    assert "--site" in done.stderr
    assert fingerprint(site) == before


def test_a_sheet_that_finds_no_room_asks_for_room_and_for_no_right(small, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet"
    done = _limited(100, "trace", "A-1", "--warehouse", small[1], "--sheet", sheet)
    assert done.returncode == 2, done.stderr
    assert f"There is no room left in {sheet}" in done.stderr
    assert "--sheet" in done.stderr


def test_a_template_that_finds_no_room_leaves_no_file(tmp_path: Path) -> None:
    done = _limited(100, "template", "cases", "--output", tmp_path)
    assert done.returncode == 2, done.stderr
    assert f"There is no room left in {tmp_path}" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_list_of_rejects_that_finds_no_room_leaves_no_file(small, tmp_path: Path) -> None:
    done = _limited(10, "rejects", "--warehouse", small[1], "--csv", tmp_path / "x.csv")
    assert done.returncode == 2, done.stderr
    assert f"There is no room left in {tmp_path}" in done.stderr
    assert "--csv" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.skipif(not FULL.exists(), reason="this system has no full device")
def test_an_output_that_takes_nothing_is_no_fault_of_ours(small) -> None:
    with FULL.open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "pipelines.command", "status", "--warehouse", str(small[1])],
            stdout=full, stderr=subprocess.PIPE, text=True, timeout=120, check=False,
        )  # fmt: skip
    assert done.returncode == 2, done.stderr
    assert "cannot be written where it goes" in done.stderr
    assert "ours" not in done.stderr
    assert "Exception ignored" not in done.stderr


def test_the_traceback_of_a_fault_is_shown_where_it_cannot_be_kept(tmp_path: Path) -> None:
    """A fault made on purpose, with no byte of room for its file."""
    code = (
        "import sys; from pipelines.command import cli; sys.argv = ['ledgerstone', 'status']; "
        "cli.cli = lambda **_: 1 / 0; cli.main()"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True, text=True, timeout=120, check=False,
        env=os.environ | {"TMPDIR": str(tmp_path)},
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (4, 4)),
    )  # fmt: skip
    assert done.returncode == 3
    assert "ZeroDivisionError" in done.stderr
    assert "report it with this:\nTraceback" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "error",
    [
        OSError(28, os.strerror(28)),
        OSError(122, os.strerror(122), "/data/.w.duckdb.building/x"),
        duckdb.IOException('IO Error: Could not write file "/data/w": No space left on device'),
        duckdb.FatalException("Failed to create checkpoint because of error: Could not write file "
                              '"/data/w": No space left on device'),
        CheckFailed('The models could not be built: "/data/w.tmp/x": No space left on device'),
    ],
    ids=lambda error: type(error).__name__,
)  # fmt: skip
def test_each_way_in_which_a_full_disk_is_raised_is_told_by_one_sentence(error: Exception) -> None:
    with (
        pytest.raises(NoRoom, match=r"no room left in /data: .*\n.* there, or go") as told,
        room_in(Path("/data"), "go elsewhere"),
    ):
        raise error
    assert told.value.exit_code == 2


def test_an_error_that_a_full_disk_led_to_is_told_as_the_full_disk() -> None:
    def refused() -> None:
        try:
            raise OSError(28, os.strerror(28))
        except OSError as error:
            raise WarehouseError("The folder cannot be written.", "Ask for the right.") from error

    with pytest.raises(NoRoom), room_in(Path("/data"), "go elsewhere"):
        refused()


def test_a_scratch_folder_that_is_full_is_told_as_such(monkeypatch, tmp_path: Path) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with pytest.raises(NoRoom, match="TMPDIR"), room_in(Path("/data"), "go elsewhere"):
        raise OSError(28, os.strerror(28), str(tmp_path / "x"))
    with (
        pytest.raises(NoRoom, match=r"(?s)no room to read cases.csv.*TMPDIR"),
        room_in(Path("/data"), "go elsewhere"),
        machine_is_told_apart("cases.csv"),
    ):
        raise OSError(28, os.strerror(28))


def test_another_error_stays_what_it_is() -> None:
    with pytest.raises(ZeroDivisionError), room_in(Path("/data"), "go elsewhere"):
        raise ZeroDivisionError
