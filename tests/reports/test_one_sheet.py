"""Pages that are promised on one sheet of paper print on one, on both sizes of it."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import duckdb
import pytest
from playwright.sync_api import Page

from pipelines.command.demo import AS_OF
from reports import PublishedPage, publish
from tests.conftest import DemoRun
from tests.reports.conftest import Reader, Site
from tests.reports.test_pages_in_browser import SHEET

_SIZES = ("A4", "Letter")
#: More figures of earlier weeks that changed than a sheet has room for.
_CHANGED = """insert into marts.figure_changes by name
select '(group)' as location_id, 'call_to_disposition' as step_code,
    date '2026-11-02' - 7 * week::integer as week_start, 12 as was_finished_count,
    13 as finished_count, 100.5 as was_median_hours, 101.5 as median_hours,
    'newer records of AL-26-0001, AL-26-0002, AL-26-0003 and 2 more' as why,
    timestamp '2026-11-09 12:00:00' as printed_at
from range(12) as weeks (week)"""
#: A second limit for each case that has one.
_SECOND_LIMITS = """insert into marts.due_soon by name
select * replace ('another limit: 999 hours (House rule of the group)' as detail)
from marts.due_soon where due_kind = 'limit'"""


def _sheets(page: Page, size: str) -> int:
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=size)))


def _for_one_sheet(folder: Path) -> list[Path]:
    return [
        path
        for path in sorted(folder.rglob("*.html"))
        if '<body class="sheet">' in path.read_text(encoding="utf-8")
    ]


@pytest.fixture(scope="module")
def busy(demo_run: DemoRun, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The demo on a Monday with much to tell."""
    folder = tmp_path_factory.mktemp("busy")
    warehouse = folder / "warehouse.duckdb"
    shutil.copyfile(demo_run.warehouse, warehouse)
    with duckdb.connect(str(warehouse)) as connection:
        connection.execute(_CHANGED)
        connection.execute(_SECOND_LIMITS)
    pages: list[PublishedPage] = publish(warehouse, folder / "site", as_of=AS_OF)
    yield Site(warehouse, folder / "site", pages)


@pytest.mark.parametrize("size", _SIZES)
def test_every_page_for_one_sheet_prints_on_one_sheet(
    demo_run: DemoRun, small: Site, reader: Reader, size: str
) -> None:
    found = [*_for_one_sheet(demo_run.site), *_for_one_sheet(small.folder)]
    assert {path.name for path in found} == {"monday.html", "locations_compared.html"}
    for path in found:
        page = reader.open(path)
        assert _sheets(page, size) == 1, path
        page.close()


@pytest.mark.parametrize("size", _SIZES)
def test_a_monday_with_much_to_tell_still_prints_on_one_sheet(
    busy: Site, reader: Reader, size: str
) -> None:
    page = reader.open(busy.folder / "operations" / "monday.html")
    assert page.get_by_role("heading", name="Since the last print", exact=True).count() == 1
    assert _sheets(page, size) == 1


def test_a_case_past_two_limits_is_one_case_in_the_title(demo_run: DemoRun, busy: Site) -> None:
    title = next(p.title for p in busy.pages if p.path.name == "monday.html")
    with duckdb.connect(str(demo_run.warehouse), read_only=True) as connection:
        before = [connection.execute(fact.sql).fetchall()[0][0] for fact in title.facts]
    assert [fact.value for fact in title.facts] == before


def test_nothing_is_said_of_changes_where_no_figure_changed(demo_run: DemoRun) -> None:
    with duckdb.connect(str(demo_run.warehouse), read_only=True) as connection:
        changed = connection.execute("select count(*) from marts.figure_changes").fetchall()
    html = (demo_run.site / "operations" / "monday.html").read_text(encoding="utf-8")
    assert ("Since the last print" in html) == bool(changed[0][0])


@pytest.mark.parametrize("path", ["operations/monday.html", "owner/locations_compared.html"])
def test_a_page_for_one_sheet_is_whole_on_paper(
    demo_run: DemoRun, reader: Reader, path: str
) -> None:
    page = reader.open(demo_run.site / path)
    page.set_viewport_size({"width": SHEET, "height": 900})
    page.emulate_media(media="print")
    assert page.evaluate("document.documentElement.scrollWidth") <= SHEET
    assert page.locator(".caution").first.is_visible()
    # A list that is cut says so on paper too, and a code has its meaning.
    cut = page.get_by_text(re.compile(r"^The first \d+ of \d+ rows"))
    assert cut.count() > 0
    for line in (*cut.all(), *page.locator(".codes:not(.told)").all()):
        assert line.is_visible(), line.inner_text()
    codes = set(page.locator("td .code").all_inner_texts())
    assert codes <= set(page.locator(".codes:not(.told) .code").all_inner_texts())
