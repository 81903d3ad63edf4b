"""A warehouse that is named by a link is written where the link leads."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from pipelines.errors import WarehouseError
from pipelines.run.database import reading
from pipelines.run.pipeline import RunRequest, run_pipeline
from pipelines.run.swap import behind_links
from tests.run.small_group import write_group

AS_OF = datetime(2026, 11, 6, 12, tzinfo=UTC)


def test_a_link_stays_a_link_and_its_target_is_the_new_warehouse(tmp_path: Path) -> None:
    drop = write_group(tmp_path / "drop", "2026-11-05", "A-1")
    target, link = tmp_path / "disk" / "real.duckdb", tmp_path / "w.duckdb"
    link.symlink_to(target)
    run_pipeline(RunRequest(drop, link, None, AS_OF))
    assert link.is_symlink()
    with reading(target) as con:
        assert con.execute("select count(*) from quality.run_log").fetchall() == [(1,)]


def test_a_link_to_itself_is_refused(tmp_path: Path) -> None:
    link = tmp_path / "w.duckdb"
    link.symlink_to(link)
    with pytest.raises(WarehouseError, match="leads to itself"):
        behind_links(link)
