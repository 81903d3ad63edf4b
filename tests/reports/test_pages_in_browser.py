"""Every page in a real browser with no network: it opens, draws, fits, and can be read aloud."""

import itertools
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.conftest import DemoRun
from tests.reports.conftest import Reader, Site, until

#: The widths of page-level reflow (WCAG 2.2, 1.4.10) and of a desk.
NARROW = 320
#: What fits between the margins of an A4 sheet: 180 mm at 96 px an inch.
SHEET = 680


def _check(page: Page, reader: Reader, folder: Path, path: Path) -> None:
    assert reader.errors == [], path
    outside = [u for u in reader.requests if not u.startswith((folder.as_uri() + "/", "data:"))]
    assert outside == [], path
    assert page.locator("h1").count() == 1, path
    _charts_are_drawn(page, path)
    page.set_viewport_size({"width": NARROW, "height": 800})
    until(page, f"document.documentElement.scrollWidth <= {NARROW}")


def _charts_are_drawn(page: Page, path: Path) -> None:
    for box in page.locator(".chart").all():
        assert box.get_attribute("role") == "img", path
        assert box.get_attribute("aria-label"), path
        drawn = box.evaluate("b => b.querySelectorAll('.trace path, .trace .point').length")
        assert drawn > 0, (path, box.get_attribute("id"))
        assert box.bounding_box()["width"] <= 672, path  # type: ignore[index]


def _some(pages: list[Path]) -> list[Path]:
    """All pages, of the case sheets the first few: they are made alike."""
    sheets = [path for path in pages if path.parent.name == "cases"]
    return [path for path in pages if path not in sheets[4:]]


@pytest.mark.parametrize(
    "audience", ["", "operations", "compliance", "owner", "accounts", "public"]
)
def test_every_page_of_the_demo_opens_draws_and_fits_without_a_network(
    demo_run: DemoRun, reader: Reader, audience: str
) -> None:
    folder = demo_run.site / audience if audience else demo_run.site
    paths = sorted(folder.rglob("*.html")) if audience else [folder / "index.html"]
    assert paths
    for path in _some(paths):
        page = reader.open(path)
        _check(page, reader, folder, path)
        page.close()
        reader.requests.clear()


def test_the_pages_with_hostile_text_open_without_an_error(small: Site, reader: Reader) -> None:
    for path in _some(sorted((small.folder / "compliance").rglob("*.html"))):
        page = reader.open(path)
        _check(page, reader, small.folder / "compliance", path)
        page.close()
        reader.requests.clear()


def test_a_page_opened_on_a_narrow_screen_fits_from_the_start(
    demo_run: DemoRun, reader: Reader
) -> None:
    for name in ("operations/turnaround.html", "accounts/merchandise.html",
                 "compliance/findings.html"):  # fmt: skip
        page = reader.open(demo_run.site / name, NARROW)
        assert page.evaluate("document.documentElement.scrollWidth") <= NARROW, name
        for box in page.locator(".chart .main-svg").all():
            assert box.bounding_box()["width"] <= NARROW, name  # type: ignore[index]
        page.close()
    assert reader.errors == []


def test_the_title_in_the_browser_is_the_title_that_was_checked(
    small: Site, reader: Reader
) -> None:
    for made in small.pages:
        if made.path.name not in {"findings.html", "custody.html", "case-AL-26-0001.html"}:
            continue
        page = reader.open(made.path)
        assert page.inner_text("h1") == made.title.text
        assert page.title() == made.title.text
        shown = [span.inner_text() for span in page.locator("h1 .fact").all()]
        assert shown[: len(made.title.facts)] == [fact.text for fact in made.title.facts]
        page.close()


def test_as_of_and_what_is_missing_stand_before_any_figure_or_table(demo_run: DemoRun) -> None:
    for path in sorted(demo_run.site.rglob("*.html")):
        html = path.read_text(encoding="utf-8")
        first = min((html.find(tag) for tag in ("<figure", "<table") if tag in html), default=None)
        assert 'class="asof"' in html, path
        if first is not None:
            assert html.index('class="asof"') < first, path
            if 'class="missing"' in html:
                assert html.index('class="missing"') < first, path


def test_on_paper_nothing_is_cut_off_and_folded_parts_are_open(
    demo_run: DemoRun, reader: Reader
) -> None:
    for name in ("operations/turnaround.html", "compliance/findings.html",
                 "accounts/merchandise.html", "owner/prices.html"):  # fmt: skip
        page = reader.open(demo_run.site / name, SHEET)
        page.emulate_media(media="print")
        assert page.evaluate("document.documentElement.scrollWidth") <= SHEET, name
        assert page.locator("nav").is_hidden()
        assert page.locator("details dl").first.is_visible()
        assert page.locator("th button").first.evaluate("b => getComputedStyle(b).display") == (
            "contents"
        )
        page.close()


def test_every_sheet_of_paper_names_its_data_and_number(demo_run: DemoRun) -> None:
    css = (demo_run.site / "operations" / "assets" / "issue.css").read_text(encoding="utf-8")
    assert re.search(r'@bottom-left \{ content: "Data to 2026-11-1\d', css)
    assert "counter(page)" in css


def test_headings_step_down_and_tables_name_their_headers(demo_run: DemoRun) -> None:
    for path in sorted((demo_run.site / "operations").rglob("*.html")):
        html = path.read_text(encoding="utf-8")
        levels = [int(n) for n in re.findall(r"<h([1-6])", html)]
        assert levels[0] == 1
        assert all(b - a <= 1 for a, b in itertools.pairwise(levels)), path
        assert '<html lang="en">' in html
        assert 'class="skip"' in html
        assert not re.search(r"<th(?![^>]*scope=)[ >]", html), path
        ids = re.findall(r'\sid="([^"]+)"', html)
        assert len(ids) == len(set(ids)), path


def test_a_page_without_scripts_still_has_all_rows(demo_run: DemoRun, browser: object) -> None:
    context = browser.new_context(java_script_enabled=False, offline=True)  # type: ignore[attr-defined]
    page = context.new_page()
    page.goto((demo_run.site / "operations" / "census.html").as_uri())
    assert page.locator("#t-people tbody tr").count() > 20
    assert "needs a script" in page.inner_text("figure")
    context.close()
