"""A page keeps its name when the group changes, so that a bookmark opens what it opened."""

import shutil
from pathlib import Path

import duckdb
import pytest

from reports import publish
from reports.names import file_name
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF


@pytest.mark.parametrize("key", ["ALDER", "AL-26-0001", "007"])
def test_plain_codes_are_their_own_names(key: str) -> None:
    assert file_name(key) == key


def test_codes_that_differ_never_share_a_name_where_case_is_folded() -> None:
    keys = ["ALDER", "alder", "Alder", "AL DER", "AL_DER", "AL/DER", "../ALDER", "ÄLDER", "-A", ""]
    names = [file_name(key) for key in keys]
    assert len({name.lower() for name in names}) == len(keys)
    assert all(c.isascii() and (c.isalnum() or c in "-_") for name in names for c in name)


def test_a_new_place_shifts_no_page_of_another(small: Site, tmp_path: Path) -> None:
    """A place that sorts first is added; what was there before has the name that it had."""
    warehouse = tmp_path / "warehouse.duckdb"
    shutil.copyfile(small.warehouse, warehouse)
    with duckdb.connect(str(warehouse)) as connection:
        connection.execute(
            "insert into accepted.locations (location_id, location_name, location_kind, time_zone, "
            "jurisdiction) values ('AAA', 'First Home', 'funeral_home', 'America/Chicago', 'US-TX')"
        )
    pages = publish(warehouse, tmp_path / "site", as_of=AS_OF)
    titles = {page.path.relative_to(tmp_path / "site"): page.title.text for page in pages}
    checked = 0
    for page in small.pages:
        path = page.path.relative_to(small.folder)
        if "ALDER" in path.name:
            assert titles[path] == page.title.text
            checked += 1
    # Its census (twice), findings, list of prices (owner, accounts, compliance), public list.
    assert checked == 7


def test_the_files_of_what_a_place_has_to_mend_bear_its_code(small: Site) -> None:
    made = {path.name for path in (small.folder / "compliance" / "downloads").iterdir()}
    assert {"held_back-send-back-ALDER.csv", "held_back-send-back.csv"} <= made
