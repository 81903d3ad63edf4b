"""A page is a file: put one in and it is published."""

from pathlib import Path

import pytest

import reports.pages
from reports import publish
from reports.discover import pages
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF

_PAGE = """
from reports import words
from reports.audiences import OWNER
from reports.content import Content, Page
from reports.marks import Mark
from reports.titles import say

PAGE = Page("added", "Added", "Is it there?", (OWNER,), ("marts.findings",), ("cases",))


def build(warehouse, audience):
    n = warehouse.fact("select count(*) from marts.findings", words.number)
    return Content(say("{n} findings", n=n), "A page of a test.", Mark.INFO, ())
"""


@pytest.fixture
def extra(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "more_pages"
    folder.mkdir()
    monkeypatch.setattr(reports.pages, "__path__", [*reports.pages.__path__, str(folder)])
    pages.cache_clear()
    yield folder
    pages.cache_clear()


def test_a_new_file_is_a_new_page_in_menu_and_start_page(
    small: Site, extra: Path, tmp_path: Path
) -> None:
    (extra / "added_by_test.py").write_text(_PAGE, encoding="utf-8")
    publish(small.warehouse, tmp_path / "site", as_of=AS_OF, processes=1)
    owner = tmp_path / "site" / "owner"
    assert '<span class="fact">6</span> findings' in (owner / "added.html").read_text("utf-8")
    assert 'href="added.html"' in (owner / "index.html").read_text("utf-8")
    assert not (tmp_path / "site" / "accounts" / "added.html").exists()


def test_a_module_without_a_page_is_named(extra: Path) -> None:
    (extra / "halfdone_by_test.py").write_text("x = 1\n", encoding="utf-8")
    with pytest.raises(TypeError, match=r"halfdone_by_test\.py declares no PAGE"):
        pages()


def test_every_page_names_its_marts_and_its_question() -> None:
    for found in pages():
        assert found.page.marts
        assert found.page.question.endswith("?")
        assert found.page.audiences
