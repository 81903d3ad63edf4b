"""Sorting with keys alone, said aloud, numbers as numbers, what is missing last."""

import re

from playwright.sync_api import Page

from tests.conftest import DemoRun
from tests.reports.conftest import Reader, Site, until


def _column(page: Page, table: str, place: int) -> list[str]:
    cells = page.locator(f"#t-{table} tbody tr > *:nth-child({place})")
    return [text.strip() for text in cells.all_inner_texts()]


def _press(page: Page, table: str, heading: str) -> None:
    button = page.locator(f"#t-{table} thead button", has_text=heading).first
    button.focus()
    page.keyboard.press("Enter")


def test_a_heading_sorts_by_key_up_and_down_and_says_so(demo_run: DemoRun, reader: Reader) -> None:
    page = reader.open(demo_run.site / "operations" / "census.html")
    _press(page, "people", "In care (h)")
    up = [float(t.replace(",", "")) for t in _column(page, "people", 7) if t != "[x]"]
    assert up == sorted(up)
    assert page.locator("#t-people th[aria-sort]").count() == 1
    assert page.locator("#sorted").inner_text() == "Sorted by In care (h), smallest or first first."
    _press(page, "people", "In care (h)")
    down = [float(t.replace(",", "")) for t in _column(page, "people", 7) if t != "[x]"]
    assert down == up[::-1]
    assert page.locator("#t-people th[aria-sort]").get_attribute("aria-sort") == "descending"


def test_only_one_column_carries_the_sort_mark(demo_run: DemoRun, reader: Reader) -> None:
    page = reader.open(demo_run.site / "operations" / "census.html")
    _press(page, "people", "Case")
    _press(page, "people", "Place")
    marked = page.locator("#t-people th[aria-sort]")
    assert marked.count() == 1
    assert marked.inner_text() == "Place and unit"


def test_numbers_sort_as_numbers_and_not_as_text(small: Site, reader: Reader) -> None:
    page = reader.open(small.folder / "accounts" / "prices.html")
    _press(page, "states", "Amount")
    amounts = [float(t.replace(",", "")) for t in _column(page, "states", 3)]
    assert amounts == sorted(amounts)
    assert len(amounts) == 3


def test_what_is_not_available_stays_last_both_ways(small: Site, reader: Reader) -> None:
    page = reader.open(small.folder / "owner" / "locations_compared.html")
    for _ in range(2):
        _press(page, "medians", "Median (h)")
        medians = _column(page, "medians", 3)
        assert medians[-1] == "[c]"
        assert "[c]" not in medians[:-1]


def test_severity_sorts_by_urgency_and_not_by_letter(small: Site, reader: Reader) -> None:
    page = reader.open(small.folder / "compliance" / "held_back.html")
    _press(page, "records", "Severity")
    words = _column(page, "records", 3)
    assert words == sorted(words, key=["critical", "major", "minor", "info"].index)


def test_totals_stay_at_the_foot_and_out_of_the_sorting(small: Site, reader: Reader) -> None:
    page = reader.open(small.folder / "accounts" / "prices.html")
    before = page.locator("#t-states tfoot").inner_text()
    _press(page, "states", "Lines")
    assert page.locator("#t-states tfoot").inner_text() == before
    assert "64,361.50" in before


def test_a_wide_table_scrolls_in_its_own_box_that_keys_reach(
    demo_run: DemoRun, reader: Reader
) -> None:
    page = reader.open(demo_run.site / "accounts" / "merchandise.html", width=320)
    box = page.locator("#t-stock .scroll")
    assert box.get_attribute("tabindex") == "0"
    box.focus()
    page.keyboard.press("ArrowRight")
    until(page, "document.querySelector('#t-stock .scroll').scrollLeft > 0")


def test_what_a_finding_says_has_room_on_a_common_screen(demo_run: DemoRun, reader: Reader) -> None:
    page = reader.open(demo_run.site / "compliance" / "findings.html", width=1280)
    fits = "box => box.scrollWidth <= box.clientWidth"
    assert page.locator("#t-critical .scroll").evaluate(fits)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    widths = page.locator("#t-critical tbody tr:first-child .m").evaluate_all(
        "cells => cells.map(cell => cell.getBoundingClientRect().width)"
    )
    assert len(widths) == 2
    assert min(widths) > 190


def test_a_long_word_of_a_file_pushes_no_column_out_of_sight(
    demo_run: DemoRun, reader: Reader
) -> None:
    page = reader.open(demo_run.site / "compliance" / "held_back.html", width=1280)
    box = page.locator("#t-records .scroll")
    assert re.search(r"\S{60}", box.inner_text())
    assert box.evaluate("box => box.scrollWidth <= box.clientWidth")


def test_a_table_says_when_columns_stand_out_of_sight(demo_run: DemoRun, reader: Reader) -> None:
    words = (
        "getComputedStyle(document.querySelector('#t-stock .count'), '::after')"
        ".content.includes('to the right')"
    )
    path = demo_run.site / "accounts" / "merchandise.html"
    assert reader.open(path, width=320).evaluate(words)
    page = reader.open(path, width=1280)
    for listing in page.locator(".listing:has(.scroll)").all():
        box = listing.locator(".scroll")
        is_cut = box.evaluate("b => b.scrollWidth > b.clientWidth + 16")
        assert is_cut == ("wide" in (listing.get_attribute("class") or ""))


def test_the_count_in_a_caption_is_the_count_of_rows(demo_run: DemoRun, reader: Reader) -> None:
    page = reader.open(demo_run.site / "operations" / "census.html")
    said = re.match(r"(\d+) p", page.inner_text("#c-people"))
    assert said
    assert int(said[1]) == page.locator("#t-people tbody tr").count()


def test_a_case_in_a_list_leads_to_its_sheet(small: Site, reader: Reader) -> None:
    page = reader.open(small.folder / "compliance" / "findings.html")
    page.locator("#t-critical a", has_text="AL-26-0001").click()
    page.wait_for_load_state()
    assert page.url.endswith("/compliance/cases/case-AL-26-0001.html")
    page.locator("nav a", has_text="Findings").click()
    page.wait_for_load_state()
    assert page.url.endswith("/compliance/findings.html")


def test_codes_for_empty_cells_are_explained_under_their_table(small: Site) -> None:
    for made in small.pages:
        html = made.path.read_text(encoding="utf-8")
        for listing in html.split('<div class="listing"')[1:]:
            used = set(re.findall(r'<td[^>]*><span class="code">(\[\w\])</span>', listing))
            explained = set(re.findall(r'<span class="code">(\[\w\])</span> [a-z]', listing))
            assert used <= explained, (made.path, used)


def test_no_cell_is_blank(small: Site) -> None:
    for made in small.pages:
        body = re.findall(r"<tbody>.*?</tbody>", made.path.read_text(encoding="utf-8"), re.S)
        for rows in body:
            assert not re.search(r"<t[dh][^>]*>(<bdi></bdi>)?</t[dh]>", rows), made.path
