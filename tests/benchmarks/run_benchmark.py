"""Seconds, ratio to the floor and peak memory of a whole run, at sizes of choice.

    python tests/benchmarks/run_benchmark.py 10000 1000000        # custody events
    python tests/benchmarks/run_benchmark.py 30000000             # on request: minutes

The floor, in the same run, is DuckDB reading the same files into tables of text. dbt's fixed
start-up (import and parsing of the project) is shown apart and is not in the ratio.
"""

import argparse
import contextlib
import json
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from datetime import UTC, datetime
from pathlib import Path

import duckdb
import psutil

from pipelines.demo_group import generate
from pipelines.load import find_files
from pipelines.sqltext import literal

_AS_OF = datetime(2026, 11, 16, 12, tzinfo=UTC)
_EVENTS_A_CASE = 19
_MIB = 1 << 20


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("events", type=int, nargs="*", default=[10_000, 1_000_000])
    parser.add_argument("--child", nargs=2, help=argparse.SUPPRESS)
    parser.add_argument("--keep", type=Path, help="generate into this folder and keep it")
    chosen = parser.parse_args()
    if chosen.child:
        _child(Path(chosen.child[0]), Path(chosen.child[1]))
        return
    for events in chosen.events:
        with tempfile.TemporaryDirectory(prefix="ledgerstone-bench-") as scratch:
            folder = (chosen.keep or Path(scratch)) / str(events)
            _measure(events, folder, Path(scratch))


def _measure(events: int, folder: Path, scratch: Path) -> None:
    cases = max(480, events // _EVENTS_A_CASE)
    drop = folder / "drop"
    begun = time.perf_counter()
    if not drop.exists():
        # Beside it and then renamed: what a kill leaves is never taken for the whole.
        begun_folder = folder.with_name(f"{folder.name}.begun")
        shutil.rmtree(begun_folder, ignore_errors=True)
        generate(begun_folder, cases=cases)
        begun_folder.rename(folder)
    generated = time.perf_counter() - begun
    rows, floor_seconds, floor_peak = _floor(drop, scratch)
    done = subprocess.run(
        [sys.executable, __file__, "--child", str(drop), str(scratch)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        sys.exit(done.stdout + done.stderr)
    report = json.loads(done.stdout.splitlines()[-1])
    whole = sum(s["seconds"] for s in report["stages"]) - report["startup"]
    megabytes = sum(p.stat().st_size for p in drop.iterdir()) / 1e6
    print(f"\n{rows['custody_events']:,} custody events, {sum(rows.values()):,} records, "
          f"{megabytes:,.0f} MB; generated in {generated:.1f} s")  # fmt: skip
    print(f"{'stage':<14}{'seconds':>9}{'x floor':>9}{'rows/s':>12}{'peak MiB':>10}")
    total = sum(rows.values())
    _line("floor", floor_seconds, floor_seconds, total, floor_peak)
    for stage in report["stages"]:
        _line(stage["name"], stage["seconds"], floor_seconds, total, stage["peak"])
    _line("dbt start-up", report["startup"], floor_seconds, total, 0)
    _line("whole - start", whole, floor_seconds, total, max(s["peak"] for s in report["stages"]))
    slowest = ", ".join(f"{name} {seconds:.1f} s" for name, seconds in report["slowest"])
    print(f"slowest nodes of the models: {slowest}")


def _line(name: str, seconds: float, floor: float, rows: int, peak: float) -> None:
    shown = f"{peak:,.0f}" if peak else "-"
    print(f"{name:<14}{seconds:>9.2f}{seconds / floor:>9.2f}{rows / seconds:>12,.0f}{shown:>10}")


def _floor(drop: Path, scratch: Path) -> tuple[dict[str, int], float, float]:
    """Read the same files into tables of text in a database file; rows per feed, seconds, MiB."""
    rows: dict[str, int] = {}
    with _Sampler() as sampler, duckdb.connect(str(scratch / "floor.duckdb")) as con:
        begun = time.perf_counter()
        for file in find_files(drop):
            con.execute(
                f"create table {file.feed} as select * from read_csv({literal(str(file.path))}, "
                "header = true, all_varchar = true, delim = ',', quote = '\"', escape = '\"', "
                "strict_mode = false)"
            )
            count = con.execute(f"select count(*) from {file.feed}").fetchall()[0][0]
            rows[file.feed] = int(count)
        con.execute("checkpoint")
        seconds = time.perf_counter() - begun
    return rows, seconds, max(peak for _, peak in sampler.samples)


def _child(drop: Path, scratch: Path) -> None:
    """A whole run in a process of its own, so that its memory is its own."""
    from pipelines.run.pipeline import RunRequest, run_pipeline  # noqa: PLC0415

    with _Sampler() as sampler:
        request = RunRequest(drop, scratch / "warehouse.duckdb", scratch / "site", _AS_OF)
        result = run_pipeline(request)
    stages = [
        {
            "name": name,
            "seconds": ended - begun,
            "peak": max((p for at, p in sampler.samples if begun <= at <= ended), default=0),
        }
        for name, begun, ended in result.spans
    ]
    startup = result.dbt.startup_seconds if result.dbt else 0.0
    slowest = result.dbt.slowest if result.dbt else ()
    print(json.dumps({"stages": stages, "startup": startup, "slowest": slowest}))


class _Sampler:
    """Samples the resident memory (MiB) of this process and of those it started every 20 ms."""

    def __init__(self) -> None:
        self.samples: list[tuple[float, float]] = []
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._sample, daemon=True)

    def _sample(self) -> None:
        process = psutil.Process()
        while not self._stop.is_set():
            self.samples.append((time.perf_counter(), _resident(process) / _MIB))
            self._stop.wait(0.02)

    def __enter__(self) -> "_Sampler":
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop.set()
        self._thread.join()


def _resident(process: psutil.Process) -> int:
    total: int = process.memory_info().rss
    for child in process.children():
        with contextlib.suppress(psutil.NoSuchProcess):
            total += child.memory_info().rss
    return total


if __name__ == "__main__":
    main()
