"""The sheet of a case says first what the page *Before moving* says of the person."""

import html
import re
import shutil
from pathlib import Path

import duckdb
import pytest

from reports.publish import publish_sheet
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF


@pytest.fixture(scope="module")
def held(small: Site, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small warehouse with a hold on somebody whose custody is proven."""
    warehouse = tmp_path_factory.mktemp("held") / "warehouse.duckdb"
    shutil.copyfile(small.warehouse, warehouse)
    with duckdb.connect(str(warehouse)) as connection:
        connection.execute(
            "update marts.clearances set clearance_state = 'must not move', "
            "against = 'a hold is in force (event EV-77)' where case_number = 'BI-26-0011'"
        )
    return warehouse


def _sheet(warehouse: Path, folder: Path, case: str) -> tuple[str, str]:
    """The title and the first section, without tags."""
    made = publish_sheet(warehouse, folder, case, as_of=AS_OF)
    assert made
    page = made.read_text(encoding="utf-8")
    title = re.search(r"<h1>(.*?)</h1>", page, re.S)
    first = re.search(r'<section aria-labelledby="s-1">(.*?)</section>', page, re.S)
    assert title and first
    return (
        html.unescape(re.sub(r"<[^>]+>", "", title[1])),
        html.unescape(re.sub(r"<[^>]+>", "", first[1])),
    )


@pytest.mark.parametrize(
    ("case", "title", "first"),
    [
        ("BI-26-0011", "must not move now: a hold is in force, 0 findings",
         "Must not move now: a hold is in force (event EV-77)."),
        ("AL-26-0003", "must not move now: custody is contradicted, 0 findings",
         "Must not move now: custody contradicted: Seen in the count of <b>BIRCH</b>, which is"),
        ("BI-26-0012", "has papers outstanding: custody is proven, 0 findings",
         "Papers outstanding: permit outstanding."),
        ("CE-26-0011", "has no objection on record: custody is proven, 0 findings",
         "This is no permission"),
        ("AL-26-0001", "has left care: the chain of records is whole, 1 finding",
         "Has left care: buried, 2026-11-12 09:00 -06:00."),
        ("AL-26-0004", "is cremated and the remains are here: the chain of records is whole, "
         "1 finding",
         "The cremated remains are here: 1 container, disc <i>D-1</i>, CARE, =SHELF-1, since "
         "2026-11-12 09:00 -06:00. A hold is in force (event =HOLD-1): they must not be"),
        ("BI-26-0005", "is cremated and the remains are here: the chain of records is whole, "
         "1 finding",
         "The cremated remains are here: not counted, disc <i>D-1</i>, CARE, since"),
    ],
)  # fmt: skip
def test_a_sheet_leads_with_what_stands_against_moving(
    held: Path, tmp_path: Path, case: str, title: str, first: str
) -> None:
    shown, section = _sheet(held, tmp_path, case)
    assert shown == f"Case {case} {title}"
    assert first in section


def test_somebody_on_hold_is_told_with_the_papers_that_are_awaited(
    held: Path, tmp_path: Path
) -> None:
    _, section = _sheet(held, tmp_path, "BI-26-0011")
    assert "Papers outstanding: permit outstanding." in section


def test_a_step_whose_end_is_held_back_is_not_called_open(held: Path, tmp_path: Path) -> None:
    """AL-26-0003 has a break in its chain, so the receipt is on the sheet but in no step."""
    with duckdb.connect(str(held)) as connection:
        connection.execute(
            "update marts.case_steps set step_state = 'no time given', finished_at = null, "
            "hours = null where case_number = 'AL-26-0003'"
        )
    made = publish_sheet(held, tmp_path, "AL-26-0003", as_of=AS_OF)
    assert made
    steps = re.search(r'id="t-steps">.*?<tbody>(.*?)</tbody>', made.read_text("utf-8"), re.S)
    assert steps
    assert "held back" in steps[1]
    assert "open" not in steps[1]
