"""A second process makes some of the pages: the same bytes, its faults told, never left alone."""

import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import psutil
import pytest

from reports import WarehouseNotReadable, publish
from reports.folders import Made
from reports.second import SecondProcessLost, _sendable, pages_by_weight, second_process
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF
from tests.reports.test_publish import _digest

NOON = AS_OF.replace(tzinfo=None)


@pytest.mark.parametrize("processes", [1, 2])
def test_one_process_and_two_give_the_same_bytes(
    small: Site, tmp_path: Path, processes: int
) -> None:
    made = publish(small.warehouse, tmp_path / "site", as_of=AS_OF, processes=processes)
    assert _digest(tmp_path / "site") == _digest(small.folder)
    assert [page.title.text for page in made] == [page.title.text for page in small.pages]


def test_each_page_is_made_by_one_of_the_two(small: Site, tmp_path: Path) -> None:
    with second_process(small.warehouse, NOON, tmp_path, tmp_path) as second:
        mine = {f.page.slug for f in second.work.pages()}
        theirs = {slug for _, slug in second.result().built}
    assert not mine & theirs
    assert mine | theirs == {f.page.slug for f in pages_by_weight()}


def test_its_fault_is_raised_here_with_where_it_came_from(tmp_path: Path) -> None:
    with second_process(tmp_path / "absent.duckdb", NOON, tmp_path, tmp_path) as second:
        with pytest.raises(WarehouseNotReadable, match=r"absent\.duckdb") as raised:
            second.result()
        assert any("_answer" in note for note in raised.value.__notes__)


def test_a_fault_that_cannot_be_sent_is_sent_in_words() -> None:
    class Local(Exception):
        pass

    sent = _sendable(Local("what went wrong"))
    assert type(sent) is RuntimeError
    assert "what went wrong" in str(sent)


def test_a_process_ended_from_outside_is_told_with_what_to_do(small: Site, tmp_path: Path) -> None:
    with second_process(small.warehouse, NOON, tmp_path, tmp_path) as second:
        second._process.kill()
        with pytest.raises(SecondProcessLost, match="LEDGERSTONE_MEMORY_LIMIT"):
            second.result()


def test_a_process_that_ends_before_it_hears_of_its_work_is_told_too(
    small: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A broken pipe would be taken for a reader who has closed the terminal."""

    def ended(*_: str, **options: Any) -> "subprocess.Popen[bytes]":
        process = subprocess.Popen([sys.executable, "-c", ""], **options)
        process.wait()
        return process

    monkeypatch.setattr("reports.second.start", ended)
    with pytest.raises(SecondProcessLost, match="Run again"):
        publish(small.warehouse, tmp_path / "site", as_of=AS_OF, processes=2)
    assert list(tmp_path.iterdir()) == []


def test_two_tables_of_one_name_are_refused_also_when_two_processes_made_them() -> None:
    made = Made(names={("owner", "a-b-c")})
    with pytest.raises(ValueError, match="a-b-c"):
        made.add(Made(names={("owner", "a-b-c")}))


def test_it_ends_when_the_first_is_killed(small: Site, tmp_path: Path) -> None:
    script = (
        "import datetime, os, sys, time; from pathlib import Path\n"
        "from reports.second import second_process\n"
        f"path = Path({str(small.warehouse)!r}); folder = Path({str(tmp_path)!r})\n"
        "with second_process(path, datetime.datetime(2026, 11, 16, 12), folder, folder):\n"
        "    print('begun', flush=True)\n"
        "    time.sleep(60)\n"
    )
    with subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE) as first:
        assert first.stdout is not None
        assert first.stdout.readline() == b"begun\n"
        (second,) = psutil.Process(first.pid).children()
        first.send_signal(signal.SIGKILL)
        first.wait()
    assert psutil.wait_procs([second], timeout=10)[1] == []


def test_nothing_is_imported_from_the_folder_that_the_user_stands_in(
    small: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "polars.py").write_text("raise SystemExit('imported from the folder')")
    (tmp_path / "reports.py").write_text("raise SystemExit('imported from the folder')")
    monkeypatch.chdir(tmp_path)
    publish(small.warehouse, tmp_path / "site", as_of=AS_OF, processes=2)
    assert _digest(tmp_path / "site") == _digest(small.folder)


def test_no_connection_draws_its_progress_into_what_is_told(small: Site) -> None:
    script = (
        "from datetime import datetime; from pathlib import Path\n"
        "from reports.warehouse import Warehouse\n"
        f"with Warehouse(Path({str(small.warehouse)!r}), datetime(2026, 11, 16)) as opened:\n"
        "    print(opened.scalar(\"select current_setting('enable_progress_bar')\"))\n"
    )
    told = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    assert told.stdout == "False\n"
