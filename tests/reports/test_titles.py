"""Every number in a title equals its mart, and the titles say what the records say."""

import html
import re
from pathlib import Path

import duckdb
import pytest

from reports import PublishedPage
from reports.titles import Fact, When
from tests.conftest import DemoRun
from tests.reports.conftest import Site


def _numbers(text: str) -> list[float]:
    """The numbers in a printed fact, without the unit's own digits."""
    return [float(n.replace(",", "")) for n in re.findall(r"-?\d[\d,]*(?:\.\d+)?", text)]


def _equal(text: str, value: object, path: Path) -> None:
    decimals = len(text.split(".", 1)[1].split(" ", 1)[0]) if "." in text else 0
    assert _numbers(text) == [pytest.approx(round(float(str(value)), decimals))], path


def _check(pages: list[PublishedPage], connection: duckdb.DuckDBPyConnection) -> int:
    checked = 0
    for page in pages:
        for fact in page.title.facts:
            (value,) = connection.execute(fact.sql).fetchall()[0]
            _equal(fact.text, value, page.path)
            checked += 1
    return checked


def test_every_number_in_a_title_of_the_demo_equals_its_mart(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    """From the page alone: the number in the title, and the statement printed under it."""
    checked = 0
    for path in sorted(demo_run.site.rglob("*.html")):
        page = path.read_text(encoding="utf-8")
        title = re.search(r"<h1>(.*?)</h1>", page, re.S)
        assert title, path
        facts = re.findall(r'<span class="fact">(.*?)</span>', title[1])
        shown = [html.unescape(text) for text in facts]
        listed = re.search(r'<dl class="statements">(.*?)</dl>', page, re.S)
        inside = listed[1] if listed else ""
        pairs = re.findall(r"<dt>(.*?)</dt><dd><code>(.*?)</code></dd>", inside, re.S)
        if path.name != "index.html":
            assert [html.unescape(text) for text, _ in pairs] == shown, path
        for text, sql in pairs:
            (value,) = demo.execute(html.unescape(sql)).fetchall()[0]
            _equal(html.unescape(text), value, path)
            checked += 1
    assert checked > 60


def test_every_number_in_a_title_of_the_small_site_equals_its_mart(
    small: Site, small_rows: duckdb.DuckDBPyConnection
) -> None:
    assert _check(small.pages, small_rows) > 50


def test_no_digit_stands_in_a_title_outside_a_fact_or_a_date(small: Site) -> None:
    for page in small.pages:
        loose = "".join(part for part in page.title.parts if not isinstance(part, Fact | When))
        assert not re.search(r"\d", loose), page.title.text


def test_titles_of_the_small_site_are_the_known_answers(small: Site) -> None:
    """Counted by hand from the SQL of the small warehouse."""
    titles = {
        page.path.relative_to(small.folder).as_posix(): page.title.text for page in small.pages
    }
    assert titles["operations/custody.html"] == (
        # Of 40 cases CE-26-0012 has no event; one of the three legs of each is signed by both.
        "Records are held back in 1 of 39 chains of custody (1 broken, 0 for a single record, "
        "0 for the case's own); at 78 of 117 handovers a signature is missing"
    )
    assert titles["operations/census.html"] == (
        # ALDER and BIRCH hold cases 10 to 14, CEDAR 10 to 12, and AL-26-0003 came back.
        "14 people are in care on 16 November 2026, 06:00 (America/Chicago); it is not certain of 1"
    )
    assert titles["operations/before_moving.html"] == (
        "1 person must not move now; 5 wait for papers, and against 8 nothing is on record"
    )
    assert titles["compliance/findings.html"] == (
        "3 critical findings and 3 major; the newest critical one is of 14 November 2026"
    )
    assert titles["accounts/prices.html"] == (
        "3 of 80 invoice lines are above the price list, by 361.50 USD in all before credits; "
        "1 bill is above its estimate"
    )
    assert titles["accounts/merchandise.html"] == (
        # Case 5 of each home is billed and not issued; of case 6 the other item has no row.
        "6 of 27 matches of goods do not agree: 3 billed and not issued, 0 issued and not billed, "
        "3 swapped, 0 in another quantity"
    )
    # Of 14 in care each of two steps with a target under the wait; one has no time.
    assert titles["operations/turnaround.html"] == (
        "14 people reached final disposition in the week of 9 November 2026 (2026-W46), half "
        "within 106.0 h, as usual; 27 open steps past target"
    )


def test_a_start_page_counts_the_pages_that_its_list_marks(small: Site) -> None:
    page = next(p for p in small.pages if p.path == small.folder / "operations" / "index.html")
    text = page.path.read_text(encoding="utf-8")
    listed = re.findall(r'<li><span class="mark">.*?</svg>([\w ]+)</span>', text)
    urgent = [m for m in listed if m in {"Critical", "Major", "Not checked", "Partly checked"}]
    assert page.title.text == f"Operations: {len(urgent)} of {len(listed)} pages need action"
    assert listed == sorted(
        listed,
        key=["Critical", "Major", "Not checked", "Partly checked", "Minor", "Info",
             "Checked"].index,
    )  # fmt: skip
