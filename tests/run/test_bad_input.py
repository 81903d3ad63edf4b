"""Every wrong call says what to do, ends with 2 and leaves the warehouse and the site alone."""

import hashlib
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from pipelines.command.demo import DROP
from tests.conftest import DemoRun

_WAIT_SECONDS = 120


def ledgerstone(*arguments: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pipelines.command", *map(str, arguments)],
        capture_output=True, text=True, timeout=_WAIT_SECONDS, check=False,
    )  # fmt: skip


def fingerprint(*paths: Path) -> str:
    """One digest of files and folders, names and bytes."""
    digest = hashlib.sha256()
    for root in paths:
        for path in sorted([root, *root.rglob("*")]):
            digest.update(str(path.relative_to(root)).encode())
            if path.is_file():
                digest.update(path.read_bytes())
    return digest.hexdigest()


@pytest.fixture(scope="module")
def standing(demo_run: DemoRun, tmp_path_factory) -> tuple[Path, Path]:
    """A warehouse and a site that a bad call must not touch."""
    folder = tmp_path_factory.mktemp("standing")
    warehouse, site = folder / "warehouse.duckdb", folder / "site"
    shutil.copy(demo_run.warehouse, warehouse)
    shutil.copytree(demo_run.site, site)
    return warehouse, site


def _drop(tmp_path: Path, **files: str) -> Path:
    folder = tmp_path / "drop"
    folder.mkdir()
    for name, text in files.items():
        (folder / name.replace("__", ".")).write_text(text)
    return folder


def test_an_export_that_would_remove_many_records_waits_and_changes_nothing(
    standing: tuple[Path, Path], tmp_path: Path
) -> None:
    """An empty full export of the care centre's stock: valid, and surely a mistake."""
    lines = (DROP / "stock_care_20261116.csv").read_text().splitlines()
    title, printed, header, *records = lines
    # One that stands twice is one; a key with two contents is two.
    entries = len(set(records))
    drop = tmp_path / "drop"
    drop.mkdir()
    (drop / "stock_care_20261117.csv").write_text("\n".join([title, printed, header]) + "\n")
    before = fingerprint(*standing)
    refused = ledgerstone("run", drop, "--warehouse", standing[0], "--site", standing[1])
    assert refused.returncode == 2
    said = f"stock_care_20261117.csv: {entries} of {entries} supply_movements"
    assert said in refused.stderr
    assert "--confirm" in refused.stderr
    assert fingerprint(*standing) == before


LOCATIONS = (
    "location_id,location_name,location_kind,time_zone,jurisdiction\n"
    "ALDER,Alder,funeral_home,America/Chicago,US-TX\n"
)


def _bad_drops(tmp_path: Path) -> dict[str, tuple[Path, str]]:
    inner = tmp_path / "outer"
    (inner / "drop").mkdir(parents=True)
    file = tmp_path / "cases.csv"
    file.write_text("x")
    return {
        "no folder": (tmp_path / "nowhere", "There is no folder"),
        "a file": (file, "is a file, not a folder"),
        "wrong folder": (inner, "It holds folders (drop)"),
    }


@pytest.mark.parametrize("kind", ["no folder", "a file", "wrong folder"])
def test_wrong_folder(kind: str, standing, tmp_path: Path) -> None:
    drop, message = _bad_drops(tmp_path)[kind]
    _refused(standing, drop, message)


def test_empty_drop(standing, tmp_path: Path) -> None:
    _refused(standing, _drop(tmp_path), "holds no files")


def test_unknown_file_names_the_nearest_feed(standing, tmp_path: Path) -> None:
    _refused(standing, _drop(tmp_path, custdy_event__csv="a\n1\n"), "Did you mean custody_events?")


def test_file_of_another_kind(standing, tmp_path: Path) -> None:
    _refused(standing, _drop(tmp_path, cases__pdf="%PDF"), "is no .csv or .xlsx file")


def test_missing_required_file_says_how_to_get_a_blank_one(tmp_path: Path) -> None:
    drop = _drop(tmp_path, locations__csv=LOCATIONS)
    done = ledgerstone("run", drop, "--warehouse", tmp_path / "w", "--site", tmp_path / "s")
    assert done.returncode == 2
    assert "has no file of: cases" in done.stderr
    assert "ledgerstone template cases" in done.stderr
    assert not (tmp_path / "w").exists()
    assert not (tmp_path / "s").exists()


def test_required_file_that_cannot_be_proven(tmp_path: Path) -> None:
    drop = _drop(tmp_path, locations__csv=LOCATIONS, cases__csv="case_no\n1\n")
    done = ledgerstone("run", drop, "--warehouse", tmp_path / "w", "--site", tmp_path / "s")
    assert done.returncode == 2
    assert "case_number" in done.stderr
    assert "Traceback" not in done.stderr


def test_warehouse_that_is_something_else(tmp_path: Path) -> None:
    other = tmp_path / "notes.txt"
    other.write_text("not a warehouse")
    drop = _drop(tmp_path, locations__csv=LOCATIONS)
    done = ledgerstone("run", drop, "--warehouse", other, "--site", tmp_path / "s")
    assert done.returncode == 2
    assert "cannot be opened as a warehouse" in done.stderr
    assert other.read_text() == "not a warehouse"


def test_warehouse_opened_elsewhere_names_the_process(standing, tmp_path: Path) -> None:
    warehouse, _ = standing
    code = (
        "import duckdb, sys, time; con = duckdb.connect(sys.argv[1]); "
        "print('open', flush=True); time.sleep(60)"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code, str(warehouse)], stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline().strip() == "open"
        try:
            done = ledgerstone("status", "--warehouse", warehouse)
        finally:
            other.kill()
    assert done.returncode == 2
    assert f"by process {other.pid}" in done.stderr


@pytest.mark.parametrize("kind", ["read-only", "below a file", "of somebody else"])
def test_site_that_cannot_be_written(kind: str, standing, tmp_path: Path) -> None:
    """/proc takes no folders, even from an administrator."""
    (tmp_path / "file").write_text("x")
    (tmp_path / "theirs").mkdir()
    (tmp_path / "theirs" / "letter.txt").write_text("x")
    site = {
        "read-only": Path("/proc/site"),
        "below a file": tmp_path / "file" / "site",
        "of somebody else": tmp_path / "theirs",
    }[kind]
    before = fingerprint(standing[0], tmp_path / "theirs")
    done = ledgerstone("run", DROP, "--warehouse", standing[0], "--site", site)
    assert done.returncode == 2, done.stderr
    assert str(site) in done.stderr
    assert "folder" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""
    assert fingerprint(standing[0], tmp_path / "theirs") == before


def test_no_warehouse_yet(tmp_path: Path) -> None:
    done = ledgerstone("status", "--warehouse", tmp_path / "none.duckdb")
    assert done.returncode == 2
    assert "ledgerstone run DROP" in done.stderr


def test_unknown_case(standing) -> None:
    done = ledgerstone("trace", "NO-SUCH", "--warehouse", standing[0])
    assert done.returncode == 2
    assert "No record of case NO-SUCH" in done.stderr


def test_as_of_that_is_no_date(tmp_path: Path) -> None:
    done = ledgerstone("run", tmp_path, "--as-of", "tomorrow")
    assert done.returncode == 2
    assert "2026-11-16" in done.stderr


def _refused(standing: tuple[Path, Path], drop: Path, message: str) -> None:
    warehouse, site = standing
    before = fingerprint(warehouse, site)
    done = ledgerstone("run", drop, "--warehouse", warehouse, "--site", site)
    assert done.returncode == 2, done.stdout + done.stderr
    assert message in done.stderr
    assert "What to do:" in done.stderr
    assert "Traceback" not in done.stderr
    assert fingerprint(warehouse, site) == before
