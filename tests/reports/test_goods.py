"""Goods are told where the accountant looks, fluids where the safety officer does; parts add up."""

import re

import duckdb

from tests.conftest import DemoRun


def _rows(run: DemoRun, page: str, table: str) -> str:
    html = (run.site / page).read_text(encoding="utf-8")
    found = re.search(rf'id="t-{table}">.*?<tbody>(.*?)</tbody>', html, re.S)
    assert found, page
    return re.sub(r"<[^>]+>", "", found[1])


def test_a_count_that_is_short_is_told_by_kind_of_item(demo_run: DemoRun) -> None:
    goods = _rows(demo_run, "accounts/merchandise.html", "findings")
    chemicals = _rows(demo_run, "compliance/chemical_use.html", "findings")
    assert "Item CSK-02 at ALDER: counted" in goods
    assert "Item CAV-24 at CARE: counted" in chemicals
    assert "CSK-02" not in chemicals
    assert "CAV-24" not in goods
    assert re.search(r"counted \d+, expected \d+ pieces", goods)


def test_every_finding_of_stock_stands_on_one_of_both_pages(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    (told,) = demo.execute(
        "select count(*) from marts.findings where rule_code = 'stock_short'"
    ).fetchall()[0]
    both = "".join(
        _rows(demo_run, page, "findings")
        for page in ("accounts/merchandise.html", "compliance/chemical_use.html")
    )
    assert both.count("stock short") == told > 1


def test_stock_at_cost_is_not_marked_checked_while_a_count_differs(demo_run: DemoRun) -> None:
    page = (demo_run.site / "accounts" / "stock_cost.html").read_text(encoding="utf-8")
    assert "of goods differ" in page
    index = (demo_run.site / "accounts" / "index.html").read_text(encoding="utf-8")
    mark = re.search(r'</svg>([\w ]+)</span> <a href="stock_cost.html"', index)
    assert mark and mark[1] != "Checked"


def test_the_kinds_of_difference_of_the_title_add_up(demo_run: DemoRun) -> None:
    page = (demo_run.site / "accounts" / "merchandise.html").read_text(encoding="utf-8")
    title = page[page.index("<h1>") : page.index("</h1>")]
    whole, _, *parts = [int(n) for n in re.findall(r'<span class="fact">([\d,]+)', title)]
    assert sum(parts) == whole
