"""Built beside, then swapped: a reader sees the old pages or the new ones, whatever happens."""

import hashlib
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

import duckdb
import pytest

from reports import SiteNotWritable, WarehouseNotReadable, prepared, publish
from reports.swap import MARKER, recover, swap
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF

_ROOT = Path(__file__).parents[2]


def _digest(folder: Path) -> dict[str, str]:
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_the_same_warehouse_and_instant_give_the_same_bytes(small: Site, tmp_path: Path) -> None:
    publish(small.warehouse, tmp_path / "again", as_of=AS_OF)
    assert _digest(tmp_path / "again") == _digest(small.folder)


def test_a_naive_instant_is_read_as_utc(small: Site, tmp_path: Path) -> None:
    publish(small.warehouse, tmp_path / "again", as_of=AS_OF.astimezone(UTC).replace(tzinfo=None))
    again, first = _digest(tmp_path / "again"), _digest(small.folder)
    assert again["operations/turnaround.html"] == first["operations/turnaround.html"]


def test_new_pages_take_the_place_of_the_old_ones_and_nothing_else_is_left(
    small: Site, tmp_path: Path
) -> None:
    site = tmp_path / "site"
    publish(small.warehouse, site, as_of=AS_OF)
    (site / "operations" / "left_over.html").write_text("old", encoding="utf-8")
    publish(small.warehouse, site, as_of=AS_OF)
    assert not (site / "operations" / "left_over.html").exists()
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_failure_after_the_pages_are_made_leaves_the_old_ones(
    small: Site, tmp_path: Path
) -> None:
    site = tmp_path / "site"
    publish(small.warehouse, site, as_of=AS_OF)
    before = _digest(site)
    later = datetime(2026, 11, 23, 12, tzinfo=UTC)
    with pytest.raises(RuntimeError), prepared(small.warehouse, site, as_of=later):
        raise RuntimeError("the warehouse could not be swapped")
    assert _digest(site) == before
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_kill_leaves_the_old_pages_whole_and_the_next_run_cleans_up(
    small: Site, tmp_path: Path
) -> None:
    site = tmp_path / "site"
    publish(small.warehouse, site, as_of=AS_OF)
    before = _digest(site)
    script = (
        "import sys; from pathlib import Path; from datetime import datetime, UTC\n"
        "from reports import publish\n"
        f"publish(Path({str(small.warehouse)!r}), Path({str(site)!r}), "
        "as_of=datetime(2026, 11, 23, 12, tzinfo=UTC))"
    )
    process = subprocess.Popen([sys.executable, "-c", script], cwd=_ROOT)
    built = tmp_path / ".site.new"
    for _ in range(3000):
        if built.exists() and any(built.rglob("*.html")):
            break
        time.sleep(0.01)
    process.send_signal(signal.SIGKILL)
    process.wait()
    assert _digest(site) == before
    publish(small.warehouse, site, as_of=AS_OF)
    assert _digest(site) == before
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_old_pages_that_a_kill_left_beside_come_back(tmp_path: Path) -> None:
    """Where the system has no exchange of names, a kill can fall between the two renames."""
    (tmp_path / ".site.old").mkdir()
    (tmp_path / ".site.old" / "index.html").write_text("old", encoding="utf-8")
    recover(tmp_path / "site")
    assert (tmp_path / "site" / "index.html").read_text(encoding="utf-8") == "old"


def test_two_renames_do_the_same_where_names_cannot_be_exchanged(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("reports.swap._exchanged", lambda one, other: False)
    for name, text in (("site", "old"), (".site.new", "new")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "index.html").write_text(text, encoding="utf-8")
    swap(tmp_path / ".site.new", tmp_path / "site")
    assert (tmp_path / "site" / "index.html").read_text(encoding="utf-8") == "new"
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_folder_with_files_of_somebody_else_is_never_replaced(
    small: Site, tmp_path: Path
) -> None:
    (tmp_path / "letters.txt").write_text("keep", encoding="utf-8")
    with pytest.raises(SiteNotWritable, match="holds files that no run of ours made"):
        publish(small.warehouse, tmp_path, as_of=AS_OF)
    assert (tmp_path / "letters.txt").read_text(encoding="utf-8") == "keep"


def test_an_empty_folder_may_be_used(small: Site, tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()
    publish(small.warehouse, tmp_path / "site", as_of=AS_OF)
    assert (tmp_path / "site" / MARKER).is_file()


def test_a_file_in_the_place_of_the_folder_is_named(small: Site, tmp_path: Path) -> None:
    (tmp_path / "site").write_text("x", encoding="utf-8")
    with pytest.raises(SiteNotWritable, match="is a file"):
        publish(small.warehouse, tmp_path / "site", as_of=AS_OF)


_AS_NOBODY = """
import os, sys
from datetime import UTC, datetime
from pathlib import Path
from reports import SiteNotWritable, publish

if os.geteuid() == 0:
    os.setegid(65534)
    os.seteuid(65534)
try:
    publish(Path(sys.argv[1]), Path(sys.argv[2]), as_of=datetime(2026, 11, 16, tzinfo=UTC))
except SiteNotWritable as error:
    print(error)
"""


def test_a_folder_that_cannot_be_written_says_what_to_do(small: Site) -> None:
    """As nobody where the tests run as root, whom no mode of a folder stops."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        warehouse, shared = folder / "warehouse.duckdb", folder / "shared"
        shutil.copyfile(small.warehouse, warehouse)
        warehouse.chmod(0o644)
        shared.mkdir()
        shared.chmod(0o555)
        folder.chmod(0o755)
        done = subprocess.run(
            [sys.executable, "-c", _AS_NOBODY, str(warehouse), str(shared / "site")],
            cwd=_ROOT, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert "Pages cannot be built beside" in done.stdout, done.stderr
        assert f"Give this account the right to write in {shared}" in done.stdout
        assert list(shared.iterdir()) == []


def test_a_missing_warehouse_is_named(tmp_path: Path) -> None:
    with pytest.raises(WarehouseNotReadable, match="Run the pipeline first"):
        publish(tmp_path / "none.duckdb", tmp_path / "site", as_of=AS_OF)
    assert list(tmp_path.iterdir()) == []


def test_a_warehouse_that_is_being_written_is_named(small: Site, tmp_path: Path) -> None:
    warehouse = tmp_path / "busy.duckdb"
    shutil.copyfile(small.warehouse, warehouse)
    with (
        duckdb.connect(str(warehouse)),
        pytest.raises(WarehouseNotReadable, match="publish again"),
    ):
        publish(warehouse, tmp_path / "site", as_of=AS_OF)
    assert not (tmp_path / "site").exists()
