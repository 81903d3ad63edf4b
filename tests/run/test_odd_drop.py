"""A drop with a damaged archive, a name without a date and what is no file: all of it is said."""

from pathlib import Path

from tests.run.small_group import write_group
from tests.run.test_bad_input import ledgerstone


def test_what_is_not_read_and_a_damaged_archive_are_in_the_summary(tmp_path: Path) -> None:
    drop = write_group(tmp_path / "drop", "2026-11-05", "A-1")
    (drop / "week.zip").write_bytes(b"torn")
    (drop / "cases-2026-11-05.csv").rename(drop / "cases.csv")
    (drop / "older").mkdir()
    (drop / "Thumbs.db").write_bytes(b"\0")
    done = ledgerstone("run", drop, "--warehouse", tmp_path / "w", "--site", tmp_path / "site",
                       "--as-of", "2026-11-06T12:00Z")  # fmt: skip
    assert done.returncode == 1, done.stderr
    assert "Set aside  week.zip: week.zip cannot be opened as an archive" in done.stdout
    assert "Not read   older: It is a folder." in done.stdout
    assert "Undated    cases.csv does not say when exported: it counts as of this run" in (
        done.stdout
    )
    assert "Read       2 new files; the warehouse" in done.stdout
    assert "Found      1 finding:" in done.stdout
    assert "since the last run" not in done.stdout, "there was none before"
    assert "Thumbs" not in done.stdout
    page = (tmp_path / "site" / "compliance" / "data_quality.html").read_text()
    assert "week.zip" in page


def test_a_damaged_archive_that_may_hold_what_is_required_is_named(tmp_path: Path) -> None:
    drop = tmp_path / "drop"
    drop.mkdir()
    (drop / "week.zip").write_bytes(b"torn")
    done = ledgerstone("run", drop, "--warehouse", tmp_path / "w", "--site", tmp_path / "site")
    assert done.returncode == 2
    assert "week.zip cannot be read." in done.stderr
