"""From a mark of a chart to what it counts: by mouse, by keyboard, and without a script."""

import html
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import duckdb
import pytest

from pipelines.run.database import reading
from reports.listings.stock_parts import COUNTED, PARTS, part_listings
from tests.conftest import DemoRun
from tests.reports.conftest import Reader, Site, until

Figures = list[tuple[Path, dict[str, Any]]]


def _figures(folder: Path) -> Figures:
    return [
        (page, json.loads(text))
        for page in sorted(folder.rglob("*.html"))
        for text in re.findall(
            r"<script[^>]*data-chart[^>]*>(.*?)</script>", page.read_text(encoding="utf-8"), re.S
        )
    ]


@pytest.fixture(scope="module")
def demo_figures(demo_run: DemoRun) -> Figures:
    return _figures(demo_run.site)


def _marks(figures: Figures) -> Iterator[tuple[Path, dict[str, Any], int, str]]:
    """Page, trace, place of the mark in it, address: of every mark that leads anywhere."""
    for page, figure in figures:
        for trace in figure["data"]:
            for place, href in enumerate(trace.get("customdata", [])):
                if href:
                    yield page, trace, place, href


def _first_number(page: Path) -> float:
    title = re.search(r"<h1>(.*?)</h1>", page.read_text(encoding="utf-8"), re.S)
    assert title, page
    number = re.search(r"-?\d[\d,]*(?:\.\d+)?", re.sub(r"<[^>]+>", "", title[1]))
    assert number, page
    return float(number[0].replace(",", ""))


def _links(page: Path) -> set[str]:
    """Addresses of the links that stand in the page without any script."""
    return set(re.findall(r'<a href="([^"]+)"', page.read_text(encoding="utf-8")))


def test_each_mark_that_leads_leads_to_a_page_that_is_linked_without_a_script(
    demo_figures: Figures, small: Site
) -> None:
    for figures in (demo_figures, _figures(small.folder)):
        seen = set()
        for page, _, _, href in _marks(figures):
            assert (page.parent / href).is_file(), (page, href)
            assert href in _links(page), (page, href)
            seen.add(page.name)
        assert seen >= PAGES


#: Pages whose charts lead on.
PAGES = {
    "findings.html", "held_back.html", "merchandise.html", "custody.html", "chemical_use.html",
    "prices.html", "census.html", "homes_by_week.html",
    "turnaround.html", "stock_cost.html",
}  # fmt: skip


def test_every_bar_of_counts_has_a_page_whose_count_is_the_bar(
    demo_figures: Figures, small: Site
) -> None:
    checked = 0
    for figures in (demo_figures, _figures(small.folder)):
        for page, figure in figures:
            for trace in figure["data"]:
                if (trace["type"], trace.get("orientation")) != ("bar", "h"):
                    continue
                for value, href in zip(trace["x"], trace["customdata"], strict=True):
                    assert href, page
                    assert _first_number(page.parent / href) == value, (page, href)
                    checked += 1
    assert checked > 40


def test_every_bar_of_the_stock_bridges_has_a_page_whose_title_is_the_bar(
    demo_figures: Figures, small: Site, demo_run: DemoRun
) -> None:
    checked = 0
    for figures in (demo_figures, _figures(small.folder)):
        for page, figure in figures:
            bar = figure["data"][0]
            if page.name in ("merchandise.html", "stock_cost.html"):
                assert all(bar["customdata"])
                for value, href in zip(bar["y"], bar["customdata"], strict=True):
                    assert abs(_first_number(page.parent / href)) == pytest.approx(abs(value))
                    checked += 1
    # At cost there is no bar of what did not happen.
    moved = 0
    for warehouse in (demo_run.warehouse, small.warehouse):
        with reading(warehouse) as con:
            moved += len(con.execute(
                "select flow_kind from marts.goods_journal where flow_kind <> 'opening' "
                "group by flow_kind having sum(first_in_amount) <> 0"
            ).fetchall())  # fmt: skip
    assert checked == 2 * len(PARTS) + moved + 2 * len(("opening", "in stock"))


def test_the_movements_of_a_bar_add_up_to_it(demo: duckdb.DuckDBPyConnection) -> None:
    """Goods in pieces need no conversion: the quantities of the records are the bar."""
    for part in PARTS:
        movements = [table for table in part_listings(part) if table.slug == "movements"]
        bar = demo.execute(f"select sum(s.{part}) {COUNTED}").fetchone()
        for table in movements:
            listed = demo.execute(f"select coalesce(sum(quantity), 0) from ({table.sql})")
            assert listed.fetchone() == bar, part


def test_every_point_of_the_people_in_a_place_is_listed_person_by_person(
    demo_run: DemoRun, demo_figures: Figures, small: Site
) -> None:
    checked = 0
    for figures in (demo_figures, _figures(small.folder)):
        for page, figure in figures:
            if page.name != "custody.html":
                continue
            totals: dict[str, int] = {}
            for trace in figure["data"]:
                for value, href in zip(trace["y"], trace["customdata"], strict=True):
                    totals[href] = totals.get(href, 0) + value
            for href, people in totals.items():
                assert _first_number(page.parent / href) == people
                assert _rows(page.parent / href, "stays") == people
                checked += 1
    assert checked > 40


def test_every_point_of_a_home_by_week_counts_cases_of_its_page(
    demo_run: DemoRun, demo_figures: Figures
) -> None:
    start = demo_run.site / "operations" / "homes_by_week.html"
    totals: dict[str, list[float]] = {}
    for page, figure in demo_figures:
        if page == start:
            summed: dict[str, float] = {}
            for trace in figure["data"]:
                for value, href in zip(trace["y"], trace["customdata"], strict=True):
                    summed[href] = summed.get(href, 0) + value
            for href, count in summed.items():
                totals.setdefault(href, []).append(count)
    assert len(totals) == 13
    for href, (finished, called) in totals.items():
        assert _rows(start.parent / href, "cases") == finished
        assert _rows(start.parent / href, "called") == called == _first_number(start.parent / href)


def test_every_bar_has_its_name_beside_it(demo_figures: Figures) -> None:
    for page, figure in demo_figures:
        if any(trace.get("orientation") == "h" for trace in figure["data"]):
            assert figure["layout"]["yaxis"]["tickmode"] == "linear", page


def _rows(page: Path, table: str) -> int:
    text = page.read_text(encoding="utf-8")
    inside = re.search(rf'id="t-{table}">.*?<tbody>(.*?)</tbody>', text, re.S)
    return inside[1].count("<tr") if inside else 0


def test_the_page_of_a_rule_lists_what_it_found(small: Site) -> None:
    """Counted by hand from the SQL of the small warehouse."""
    page = small.folder / "compliance" / "findings" / "rule-permit_missing.html"
    assert _rows(page, "findings") == 2
    assert html.unescape(page.read_text(encoding="utf-8")).count("AL-26-0001") >= 1
    held = small.folder / "operations" / "held_back" / "rule-not_money.html"
    assert _rows(held, "records") == 1
    assert "=HYPERLINK" in held.read_text(encoding="utf-8")


def test_the_page_of_a_place_tells_of_people_there_who_are_arranged_elsewhere(small: Site) -> None:
    """Counted by hand from the SQL of the small warehouse."""
    page = small.folder / "compliance" / "findings" / "place-CARE.html"
    text = page.read_text(encoding="utf-8")
    assert (_rows(page, "findings"), _rows(page, "people-here")) == (1, 1)
    assert "BIRCH; person at CARE" in text.split('id="t-people-here"')[1]
    elsewhere = small.folder / "compliance" / "findings" / "place-BIRCH.html"
    assert _rows(elsewhere, "people-here") == 0
    assert "about people there" not in elsewhere.read_text(encoding="utf-8")


def test_a_click_on_a_bar_and_a_key_on_its_row_open_the_same_page(
    demo_run: DemoRun, reader: Reader
) -> None:
    start = demo_run.site / "compliance" / "findings.html"
    page = reader.open(start)
    bars = next(f for p, f in _figures(start.parent) if p == start)["data"][0]
    href = bars["customdata"][1]
    bar = page.locator(".chart .point").nth(1)
    bar.scroll_into_view_if_needed()
    box = bar.bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    until(page, "document.querySelector('.chart').classList.contains('leads')")
    page.mouse.click(x, y)
    page.wait_for_url(f"**/{href}")
    page.go_back()
    page.locator(f'#t-by-rule a[href="{href}"]').press("Enter")
    page.wait_for_url(f"**/{href}")
    assert reader.errors == []


@pytest.mark.parametrize("href", ["javascript:alert(1)", "//x.example/a.html", "../a.html", "a", 7])
def test_an_address_that_is_not_of_a_page_beside_is_not_followed(
    demo_run: DemoRun, reader: Reader, tmp_path: Path, href: object
) -> None:
    """A mark whose address was tampered with does nothing."""
    source = demo_run.site / "compliance" / "findings.html"
    text = source.read_text(encoding="utf-8")
    tampered = f'"customdata":{json.dumps([href] * 16)}'
    changed = re.sub(r'"customdata":\[[^\]]*\]', lambda _: tampered, text, count=1)
    assert changed != text
    (tmp_path / "assets").symlink_to(source.parent / "assets")
    page_file = tmp_path / "findings.html"
    page_file.write_text(changed, encoding="utf-8")
    page = reader.open(page_file)
    bar = page.locator(".chart .point").first
    bar.scroll_into_view_if_needed()
    box = bar.bounding_box()
    assert box
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.wait_for_timeout(300)
    assert page.url == page_file.as_uri()
    assert "leads" not in (page.locator(".chart").first.get_attribute("class") or "")
    assert reader.errors == []
