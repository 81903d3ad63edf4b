"""Whether a home differs by more than chance, with all that is judged at once allowed for."""

import duckdb
import pytest

from reports.chance import MORE, share_verdicts
from reports.charts.funnel import FunnelPoint, outside
from reports.warehouse import Warehouse
from tests.conftest import DemoRun
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF


@pytest.mark.parametrize(
    ("share", "tests", "verdict"),
    [
        # Of 100 cases at a share of 10 %: 95 % lie within 5 and 16, all but 0.5 % within 3 and 19.
        (0.16, 1, "within what chance gives"),
        (0.17, 1, "more than chance, above"),
        (0.17, 10, "beyond the 95% line, above: look"),
        (0.19, 10, "beyond the 95% line, above: look"),
        (0.20, 10, "more than chance, above"),
        (0.04, 10, "beyond the 95% line, below: look"),
    ],
)
def test_the_more_is_judged_at_once_the_more_a_share_must_differ(
    share: float, tests: int, verdict: str
) -> None:
    assert outside(FunnelPoint("Home", 0, 100, share), 0.1, tests) == verdict


def test_the_title_names_the_home_that_differs_and_by_what(small: Site) -> None:
    """20 of 50 within target at BIRCH, 115 of 150 in all homes; its pace is as expected."""
    title = next(p.title.text for p in small.pages if p.path.name == "locations_compared.html")
    assert title.startswith(
        "Cases within target at Birch Hill Home differ by more than chance (20 of 50; all homes "
        "77%), as do other shares; pace does not"
    )
    assert "critical findings are open" in title


def test_the_owner_starts_with_the_answer_to_what_is_more_than_chance(small: Site) -> None:
    index = (small.folder / "owner" / "index.html").read_text(encoding="utf-8")
    assert "Is any difference more than chance?" in index
    assert "20 of 50 (40%; all homes 77%): more than chance, below." in index


def test_title_and_table_give_the_same_verdicts(demo_run: DemoRun) -> None:
    with Warehouse(demo_run.warehouse, AS_OF) as warehouse:
        sure = [v for v in share_verdicts(warehouse) if v.verdict.startswith(MORE)]
        names = {warehouse.name_of(v.location_id) for v in sure}
    page = (demo_run.site / "owner" / "locations_compared.html").read_text(encoding="utf-8")
    title = page[page.index("<h1>") : page.index("</h1>")]
    assert ("No home differs" in title) == (not sure)
    assert all(name in title for name in list(names)[:2])


def test_the_ends_of_the_cases_of_a_place_add_up(demo: duckdb.DuckDBPyConnection) -> None:
    wrong = demo.execute(
        "select * from marts.location_comparison where case_count <> cremation_count "
        "+ burial_count + other_end_count + no_end_count or other_end_count < 0"
    ).fetchall()
    assert wrong == []
