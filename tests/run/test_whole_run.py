"""The demo from files to pages: the account, determinism, the swap, the lock, the run log."""

import os
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import duckdb
import pytest

from pipelines.command.demo import AS_OF, DROP
from pipelines.errors import WarehouseError
from pipelines.run import run_log
from pipelines.run.lock import run_lock
from pipelines.run.pipeline import RunRequest, run_pipeline
from tests.conftest import DemoRun
from tests.run.test_bad_input import fingerprint, ledgerstone

#: Every table that a run computes or keeps, as rows in an order of its own.
_TABLES = (
    "select table_schema || '.' || table_name from information_schema.tables "
    "where table_type = 'BASE TABLE' order by 1"
)


def contents(warehouse: Path) -> dict[str, str]:
    """Digest of every table's rows, whatever their order."""
    with duckdb.connect(str(warehouse), read_only=True) as con:
        return {
            table: con.execute(
                f"select md5(coalesce(string_agg(r, chr(10) order by r), '')) "
                f"from (select cast(t as varchar) as r from {table} t)"
            ).fetchall()[0][0]
            for (table,) in con.execute(_TABLES).fetchall()
        }


_OFFLINE_RUN = """
import socket, sys
def refuse(*given, **named): raise OSError(f"network used: {given}")
socket.socket.connect = refuse
socket.getaddrinfo = refuse
from pathlib import Path
from pipelines.command.demo import AS_OF, DROP
from pipelines.run.pipeline import RunRequest, run_pipeline
run_pipeline(RunRequest(DROP, Path(sys.argv[1]) / "w.duckdb", Path(sys.argv[1]) / "site", AS_OF))
"""


@pytest.fixture(scope="module")
def second(tmp_path_factory) -> tuple[Path, Path]:
    """The same drop run again from nothing, elsewhere, in a process that cannot reach any host."""
    folder = tmp_path_factory.mktemp("second")
    done = subprocess.run(
        [sys.executable, "-c", _OFFLINE_RUN, str(folder)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return folder / "w.duckdb", folder / "site"


def test_nothing_is_lost_lines_and_records_add_up_in_every_file(demo) -> None:
    files = demo.execute(
        "select file_name from quality.file_accounts where set_aside is null and "
        "(total_lines <> header_lines + blank_lines + record_lines + unreadable_lines or "
        "records_read <> accepted + held_back + repeated + replaced + vanished + unreadable)"
    ).fetchall()
    assert files == []
    assert demo.execute("select count(*) from quality.file_accounts").fetchall()[0][0] >= 9


def test_every_held_record_has_a_reason_and_every_reason_its_words(demo) -> None:
    for feed in ("cases", "custody_events", "statement_lines"):
        assert demo.execute(
            f"select count(*) from held.{feed} h where not exists (select 1 from quality.rejects r "
            f"where r.feed = '{feed}' and r.file_id = h.file_id and r.line = h.line)"
        ).fetchall() == [(0,)]
    assert demo.execute(
        "select count(*) from quality.rejects_explained where says is null or mend is null"
    ).fetchall() == [(0,)]


def test_same_drop_gives_the_same_tables(demo_run: DemoRun, second) -> None:
    assert contents(second[0]) == contents(demo_run.warehouse)


def test_same_drop_gives_the_same_pages_byte_for_byte(demo_run: DemoRun, second) -> None:
    assert fingerprint(second[1]) == fingerprint(demo_run.site)


def test_same_bytes_again_are_skipped_and_strict_ends_with_1_while_records_are_held(second) -> None:
    warehouse, site = second
    before = contents(warehouse)["marts.findings"]
    with duckdb.connect(str(warehouse), read_only=True) as con:
        # What the first run accounted for, without the tables that came with the program.
        ((given,),) = con.execute(
            "select sum(records_read) from quality.file_accounts "
            "where exported_at > timestamp '1970-01-01'"
        ).fetchall()
    done = ledgerstone("run", DROP, "--warehouse", warehouse, "--site", site,
                       "--as-of", AS_OF.isoformat(), "--strict")  # fmt: skip
    assert done.returncode == 1, done.stderr
    files = len(list(DROP.glob("*.csv")))
    known = f"{files} already known; the warehouse accounts for {given:,} records"
    assert f"Read       0 new files, {known}" in done.stdout
    assert "since the last run: nothing changed" in done.stdout
    assert contents(warehouse)["marts.findings"] == before
    with duckdb.connect(str(warehouse), read_only=True) as con:
        assert run_log.verify(con) == []
        assert con.execute("select count(*) from quality.run_log").fetchall() == [(2,)]


def test_run_log_altered_afterwards_shows(demo_run: DemoRun, tmp_path: Path) -> None:
    altered = tmp_path / "w.duckdb"
    shutil.copy(demo_run.warehouse, altered)
    with duckdb.connect(str(altered)) as con:
        con.execute("update quality.run_log set records_held = records_held - 1")
    done = ledgerstone("status", "--verify", "--warehouse", altered)
    assert done.returncode == 1
    assert "The entry of run 1 was altered" in done.stdout


def test_second_run_at_once_is_refused_and_names_the_holder(tmp_path: Path) -> None:
    warehouse = tmp_path / "w.duckdb"
    holder = rf"process {os.getpid()} on"
    with run_lock(warehouse), pytest.raises(WarehouseError, match=holder), run_lock(warehouse):
        pass
    with run_lock(warehouse):
        pass


def test_killed_run_leaves_the_old_warehouse_and_the_next_one_is_as_if_undisturbed(
    demo_run: DemoRun, tmp_path: Path
) -> None:
    warehouse, site = tmp_path / "w.duckdb", tmp_path / "site"
    shutil.copy(demo_run.warehouse, warehouse)
    shutil.copytree(demo_run.site, site)
    before = fingerprint(warehouse, site)
    with subprocess.Popen(
        [sys.executable, "-u", "-m", "pipelines.command", "run", str(DROP), "--warehouse",
         str(warehouse), "--site", str(site), "--as-of", AS_OF.isoformat()],
        stdout=subprocess.PIPE, text=True,
    ) as run:  # fmt: skip
        assert run.stdout is not None
        for line in run.stdout:
            if line.startswith("judge"):
                break
        time.sleep(2)
        run.send_signal(signal.SIGKILL)
    assert fingerprint(warehouse, site) == before
    run_pipeline(RunRequest(DROP, warehouse, site, AS_OF))
    undisturbed = contents(demo_run.warehouse)
    disturbed = contents(warehouse)
    # The log has one run more, to which no finding is new; everything else is the same.
    assert {t for t in disturbed if disturbed[t] != undisturbed[t]} == {
        "quality.run_log",
        "marts.finding_changes",
    }


def test_failing_check_swaps_nothing_in_and_shows_the_rows(
    demo_run: DemoRun, tmp_path: Path, monkeypatch
) -> None:
    from pipelines.errors import CheckFailed  # noqa: PLC0415
    from pipelines.run import pipeline  # noqa: PLC0415

    real = pipeline.account_files

    def miscounted(con: duckdb.DuckDBPyConnection) -> None:
        real(con)
        con.execute("update quality.file_accounts set accepted = accepted - 1 where feed = 'cases'")

    monkeypatch.setattr(pipeline, "account_files", miscounted)
    with pytest.raises(CheckFailed, match=r"cases-2026-11-16\.csv"):
        run_pipeline(RunRequest(DROP, tmp_path / "w.duckdb", tmp_path / "site", AS_OF))
    assert not (tmp_path / "w.duckdb").exists()
    assert not (tmp_path / "site").exists()


def test_files_are_not_open_to_everyone(demo_run: DemoRun) -> None:
    assert demo_run.warehouse.stat().st_mode & 0o077 == 0
    assert all(p.stat().st_mode & 0o007 == 0 for p in demo_run.site.rglob("*"))


def test_run_tells_each_stage_with_its_seconds(demo_run: DemoRun) -> None:
    stages = [line.split()[0] for line in demo_run.told if line.endswith(" s")]
    assert stages == ["read", "parse", "judge", "model", "publish"]


def test_file_set_aside_is_named_and_ends_with_1(demo_run: DemoRun, tmp_path: Path) -> None:
    drop = tmp_path / "drop"
    drop.mkdir()
    (drop / "air_samples-2026-11-17.csv").write_bytes(b"")
    warehouse = tmp_path / "w.duckdb"
    shutil.copy(demo_run.warehouse, warehouse)
    done = ledgerstone("run", drop, "--warehouse", warehouse, "--site", tmp_path / "site",
                       "--as-of", AS_OF.isoformat())  # fmt: skip
    assert done.returncode == 1, done.stderr
    assert "Set aside  air_samples-2026-11-17.csv: The file is empty" in done.stdout


def test_trace_tells_the_line_of_a_case_with_file_and_line(demo, demo_run: DemoRun) -> None:
    case, line = demo.execute(
        "select case_number, line from accepted.custody_events where action = 'cremation_started' "
        "order by case_number limit 1"
    ).fetchall()[0]
    done = ledgerstone("trace", case, "--warehouse", demo_run.warehouse)
    assert done.returncode == 0, done.stderr
    assert f"[custody_events-2026-11-16.csv:{line}]" in done.stdout


def test_a_sample_is_drawn_again_by_its_seed_and_held_back_cases_have_their_chance(
    demo, demo_run: DemoRun
) -> None:
    def draw(*options: object) -> list[str]:
        done = ledgerstone("sample", "--warehouse", demo_run.warehouse, *options)
        assert done.returncode == 0, done.stderr
        return [line.split()[0] for line in done.stdout.splitlines()[1:]]

    first = draw("--cases", 12, "--seed", 7)
    assert len(set(first)) == 12
    assert draw("--cases", 12, "--seed", 7) == first
    assert draw("--cases", 5, "--seed", 7) == first[:5]
    assert draw("--cases", 12, "--seed", 8) != first
    everybody = demo.execute("select count(distinct case_number) from marts.custody_cases")
    assert len(draw("--cases", 10_000, "--seed", 1)) == everybody.fetchall()[0][0]
    of_birch = draw("--location", "BIRCH", "--cases", 10_000, "--seed", 1)
    (birch,) = demo.execute(
        "select count(*) from marts.custody_cases where location_id = 'BIRCH'"
    ).fetchall()[0]
    assert len(of_birch) == birch > 10


def _in_care(demo, at: str) -> set[str]:
    """Who had been received and had not reached the end by then, told from the events alone."""
    rows = demo.execute(
        f"""
        with events as (
            select case_number, action, occurred_at from accepted.custody_events
            union all
            select case_number, action, occurred_at from held.custody_events
        )
        select case_number from events where occurred_at <= timestamp '{at}'
        group by case_number
        -- Remains that a family brings are shelved too; the person never was here.
        having arg_min(action, occurred_at) <> 'remains_received'
            and count(*) filter (where action in ('received', 'departed', 'arrived', 'stored')) > 0
            and count(*) filter (where action in ('cremation_finished', 'buried', 'entombed',
                'released')) = 0
        """
    ).fetchall()
    return {str(case) for (case,) in rows}


@pytest.mark.parametrize("at", ["2026-11-16 12:00", "2026-09-01 03:30", "2026-07-04 17:00"])
def test_the_census_of_any_instant_is_everyone_received_and_not_yet_gone(
    demo, demo_run: DemoRun, at: str
) -> None:
    """Held-back people are in it: their chains are broken, and they are somewhere."""
    done = ledgerstone("census", "--warehouse", demo_run.warehouse, "--at", f"{at}Z")
    assert done.returncode == 0, done.stderr
    listed = [line.split()[0] for line in done.stdout.splitlines() if line.startswith("  ")]
    assert len(listed) == len(set(listed))
    assert set(listed) == _in_care(demo, at)
    assert done.stdout.startswith(f"{len(listed)} in care at {at} UTC")


def test_the_census_of_now_is_the_one_on_the_pages(demo, demo_run: DemoRun) -> None:
    done = ledgerstone("census", "--warehouse", demo_run.warehouse)
    people = demo.execute("select case_number, certainty from marts.census").fetchall()
    for case, certainty in people:
        (line,) = [row for row in done.stdout.splitlines() if row.startswith(f"  {case} ")]
        assert f"  {certainty}" in line
    nowhere = ledgerstone("census", "--warehouse", demo_run.warehouse, "--place", "NOWHERE")
    assert nowhere.returncode == 2
    assert "Places of the group: ALDER, BIRCH, CARE, CEDAR, CREM." in nowhere.stderr
    late = ledgerstone("census", "--warehouse", demo_run.warehouse, "--at", "2027-01-01")
    assert late.returncode == 2
    assert "knows nothing after 2026-11-16 12:00 UTC" in late.stderr


def test_any_case_gets_its_sheet_also_one_that_nothing_is_wrong_with(
    demo, demo_run: DemoRun, tmp_path: Path
) -> None:
    (case,) = demo.execute(
        "select min(case_number) from marts.custody_cases where not is_in_care and case_number not "
        "in (select c from (select unnest([case_number, other_case_number]) as c from "
        "marts.findings) where c is not null)"
    ).fetchall()[0]
    done = ledgerstone("trace", case, "--warehouse", demo_run.warehouse, "--sheet", tmp_path)
    assert done.returncode == 0, done.stderr
    page = tmp_path / "compliance" / "cases" / f"case-{case}.html"
    assert done.stdout.strip() == f"Case sheet: {page}"
    html = page.read_text(encoding="utf-8")
    told = "has left care: the chain of records is whole"
    assert f'Case <span class="when">{case}</span> {told}' in html
    assert (tmp_path / "compliance" / "assets" / "page.css").is_file()
    assert not (demo_run.site / "compliance" / "cases" / page.name).exists()
    again = ledgerstone("trace", "AL-26-0168", "--warehouse", demo_run.warehouse,
                        "--sheet", tmp_path)  # fmt: skip
    assert again.returncode == 0, again.stderr
    (tmp_path / "file").write_text("")
    nowhere = ledgerstone("trace", case, "--warehouse", demo_run.warehouse,
                          "--sheet", tmp_path / "file" / "below")  # fmt: skip
    assert nowhere.returncode == 2
    assert "Name a folder in which this account may write." in nowhere.stderr
    unknown = ledgerstone("trace", "NOBODY", "--warehouse", demo_run.warehouse, "--sheet", tmp_path)
    assert unknown.returncode == 2
    assert "No record of case NOBODY" in unknown.stderr


def test_rejects_csv_holds_every_reason_and_no_live_formula(
    demo, demo_run: DemoRun, tmp_path: Path
) -> None:
    target = tmp_path / "rejects.csv"
    done = ledgerstone("rejects", "--warehouse", demo_run.warehouse, "--csv", target)
    assert done.returncode == 0, done.stderr
    total = demo.execute("select count(*) from quality.rejects").fetchall()[0][0]
    read = duckdb.sql(f"select count(*), count(*) filter (where regexp_matches(value, '^[=+@-]')) "
                      f"from read_csv('{target}', all_varchar = true)").fetchall()[0]  # fmt: skip
    assert read == (total, 0)


def test_nothing_that_is_told_has_zeros_that_nobody_wrote(demo) -> None:
    """8.0000 caskets are 8, and 250.0000 is 250.00."""
    told = demo.execute(
        """
        select detail from marts.findings union all select detail from quality.rejects
        union all select value from quality.rejects union all select detail from quality.notes
        """
    ).fetchall()
    assert len(told) > 300
    assert [text for (text,) in told if re.search(r"\d\.\d{3}0(?!\d)", text or "")] == []


def test_every_view_of_the_finished_warehouse_can_be_read(demo) -> None:
    """The file was built under another name: a view that held that name would be lost."""
    views = demo.execute(
        "select table_schema || '.' || table_name from information_schema.tables "
        "where table_type = 'VIEW' and table_catalog = current_database() order by 1"
    ).fetchall()
    assert len(views) > 50
    for (view,) in views:
        demo.execute(f"select * from {view} limit 1").fetchall()
