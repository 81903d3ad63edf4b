"""On paper a word or a name is broken only where there is no room for it."""

import re
from pathlib import Path

import pytest

from reports.cells import Cell
from reports.frame.paper import breakable, paper_class
from tests.conftest import DemoRun
from tests.reports.conftest import Reader, Site
from tests.reports.test_pages_in_browser import SHEET

#: Words of more than one letter that stand on two lines, of tables that are not declared too wide.
_BROKEN = """() => {
  const found = [];
  document.querySelectorAll("main table:not(.broken)").forEach(table => {
    const walker = document.createTreeWalker(table, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const text = walker.currentNode, range = document.createRange();
      for (const word of text.data.matchAll(/[\\p{L}\\p{M}\\d']+/gu)) {
        range.setStart(text, word.index);
        range.setEnd(text, word.index + word[0].length);
        const tops = new Set(Array.from(range.getClientRects(), r => Math.round(r.top)));
        if (tops.size > 1) { found.push(word[0]); }
      }
    }
  });
  return found;
}"""


@pytest.mark.parametrize(
    "name",
    ["operations/custody.html", "operations/before_moving.html", "operations/still_waiting.html",
     "compliance/cases/case-AL-26-0118.html", "compliance/census.html",
     "public/prices-ALDER.html"],
)  # fmt: skip
def test_no_word_of_a_table_is_broken_on_paper(
    demo_run: DemoRun, reader: Reader, name: str
) -> None:
    page = reader.open(demo_run.site / name, SHEET)
    page.emulate_media(media="print")
    assert page.evaluate(_BROKEN) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= SHEET


def test_every_printed_table_fits_its_sheet(demo_run: DemoRun, reader: Reader) -> None:
    for folder in ("compliance", "operations", "accounts", "owner"):
        for path in sorted((demo_run.site / folder).glob("*.html")):
            page = reader.open(path, SHEET)
            page.emulate_media(media="print")
            assert page.evaluate("document.documentElement.scrollWidth") <= SHEET, path
            page.close()


def test_a_caption_stays_with_its_table() -> None:
    css = (Path(__file__).parents[2] / "reports/frame/assets/page.css").read_text(encoding="utf-8")
    kept = re.search(r"\n  (h2, h3[^{]*)\{ break-after: avoid", css)
    assert kept
    assert ".listing > .small" in kept[1]


def test_long_names_get_a_place_to_break_and_words_none() -> None:
    assert breakable("hospital:MERCYFIELD") == "hospital:<wbr>MERCYFIELD"
    assert breakable("custody_events-2026-11-16.csv") == "custody_<wbr>events-2026-11-16.csv"
    assert breakable("Quimbrell-Moorcastle") == "Quimbrell-Moorcastle"
    assert breakable("03:15 h") == "03:15 h"
    assert breakable("counted at 2026-11-15 20:00") == "counted at 2026-11-15 20:00"


@pytest.mark.parametrize(
    ("words", "expected"), [(("short",), ""), (("x" * 30,), "tight"), (("x" * 60,), "broken")]
)
def test_a_table_is_printed_as_small_as_its_words_need(
    words: tuple[str, ...], expected: str
) -> None:
    columns = [[Cell(word) for word in words]] * 3
    assert paper_class(["a", "b", "c"], ["w", "w", "w"], columns) == expected


def test_an_item_of_a_price_list_has_the_width_of_its_name_on_paper(
    small: Site, reader: Reader
) -> None:
    page = reader.open(small.folder / "public" / "prices-ALDER.html", SHEET)
    page.emulate_media(media="print")
    item = page.locator("tbody th").first.bounding_box()
    assert item
    assert item["width"] > 0.28 * SHEET
