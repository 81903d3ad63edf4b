"""Personal names stand only where the task needs them."""

from pathlib import Path

import duckdb
import polars as pl
import pytest

import reports.pages
from reports import publish
from reports.discover import pages
from tests.conftest import DemoRun
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF, NAMES

#: Audiences whose pages carry no personal name.
NAMELESS = ("owner", "accounts", "public")


@pytest.mark.parametrize("audience", NAMELESS)
def test_no_name_of_the_small_site_is_on_a_page_or_in_a_file(small: Site, audience: str) -> None:
    for path, text in small.texts(audience).items():
        for name in NAMES:
            assert name not in text, path
        assert "onerror" not in text, path


@pytest.mark.parametrize("audience", NAMELESS)
def test_no_personal_column_is_in_a_parquet_file(small: Site, audience: str) -> None:
    for path in sorted((small.folder / audience).rglob("*.parquet")):
        columns = set(pl.read_parquet_schema(path))
        assert not columns & {"family_name", "given_name", "value", "record_key"}, path


def test_operations_and_compliance_do_see_names(small: Site) -> None:
    for audience in ("operations", "compliance"):
        assert any("Testfamily" in text for text in small.texts(audience).values())


@pytest.mark.parametrize("audience", NAMELESS)
def test_no_name_of_the_demo_is_on_a_page_or_in_a_file(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection, audience: str
) -> None:
    rows = demo.execute(
        "select distinct family_name from raw.cases where length(trim(family_name)) > 3 "
        "and family_name not in (select location_name from raw.locations)"
    ).fetchall()
    names = {str(row[0]).strip() for row in rows}
    assert len(names) > 20
    texts = Site(demo_run.warehouse, demo_run.site, []).texts(audience)
    assert texts
    for path, text in texts.items():
        found = {name for name in names if name in text}
        assert not found, (path, found)


_PAGE = """
from reports.audiences import COMPLIANCE, OWNER
from reports.content import Content, Page, Section
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing
from reports.titles import say

PAGE = Page("people", "People", "Who?", (OWNER, COMPLIANCE), ("marts.custody_cases",), ())


def build(warehouse, audience):
    table = Listing(
        "people", "People",
        "select case_number, family_name, given_name from marts.custody_cases order by case_number",
        (Column("case_number", "Case", Kind.CASE), Column("family_name", "Name", Kind.PERSON)),
        "marts.custody_cases", State(Mark.CHECKED, "None."), personal=("given_name",),
    )
    return Content(say("People"), "A page of a test.", Mark.INFO, (Section("All", (table,)),))
"""


def test_a_personal_column_is_dropped_from_page_and_files_where_names_are_not_seen(
    small: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever a page declares: the frame decides by audience."""
    folder = tmp_path / "more_pages"
    folder.mkdir()
    (folder / "people_by_test.py").write_text(_PAGE, encoding="utf-8")
    monkeypatch.setattr(reports.pages, "__path__", [*reports.pages.__path__, str(folder)])
    pages.cache_clear()
    publish(small.warehouse, tmp_path / "site", as_of=AS_OF, processes=1)
    pages.cache_clear()
    for audience, seen in (("owner", False), ("compliance", True)):
        root = tmp_path / "site" / audience
        page = (root / "people.html").read_text(encoding="utf-8")
        rows = (root / "downloads" / "people-people.csv").read_text(encoding="utf-8")
        assert ("Testfamily5" in page or "Testfamily6" in page) is seen
        assert ("Testgiven" in rows) is seen
        assert ("family_name" in rows) is seen
