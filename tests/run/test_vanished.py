"""A run says what vanished, and a case that did is told with the export that lacks it."""

from pathlib import Path

from tests.run.small_group import write_group
from tests.run.test_bad_input import ledgerstone

FULL = '[sources.main.feeds.cases]\nfiles = ["cases*"]\nslice = "full"\n'


def test_what_vanishes_is_in_the_summary_and_a_vanished_case_can_be_traced(tmp_path: Path) -> None:
    settings = tmp_path / "sources.toml"
    settings.write_text(FULL)
    warehouse = tmp_path / "w.duckdb"

    def run(day: str, *more: str, cases: tuple[str, ...]):
        drop = write_group(tmp_path / day, day, *cases)
        return ledgerstone("run", drop, "--warehouse", warehouse, "--site", tmp_path / "site",
                           "--as-of", f"{day}T12:00Z", "--settings", settings, *more)  # fmt: skip

    first = run("2026-11-05", cases=("A-1", "A-2"))
    assert first.returncode == 0, first.stderr
    assert "Vanished" not in first.stdout
    new = tuple(f"B-{n}" for n in range(60))
    refused = run("2026-11-06", cases=new)
    assert refused.returncode == 2
    assert "cases-2026-11-06.csv: 2 of 2 cases" in refused.stderr
    done = run("2026-11-06", "--confirm", cases=new)
    assert done.returncode == 0, done.stderr
    assert "Vanished   2 cases: newer exports no longer hold them" in done.stdout
    told = ledgerstone("trace", "A-1", "--warehouse", warehouse)
    assert told.returncode == 0, told.stderr
    assert "Case A-1 has vanished" in told.stdout
    assert (
        "cases A-1 [cases-2026-11-05.csv:2] no longer in cases-2026-11-06.csv "
        "(2026-11-06 00:00 UTC)" in told.stdout
    )
    sheet = ledgerstone("trace", "A-1", "--warehouse", warehouse, "--sheet", tmp_path / "sheet")
    assert sheet.returncode == 2
    assert "Case A-1 has vanished" in sheet.stderr
