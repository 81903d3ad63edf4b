"""Absence, failure and a clean result have different words; nothing unchecked looks passed."""

import html
import re
import shutil
from pathlib import Path

import duckdb
import pytest

from reports import publish, words
from reports.listings.findings import rule_table
from reports.pages.chemical_use import PAGE
from tests.reports.conftest import Site
from tests.reports.small_warehouse import AS_OF
from validation.catalogue import catalogue
from validation.catalogue.rule import Effect


def _page(small: Site, path: str) -> str:
    """The page without the places where a long code may end a line."""
    return (small.folder / path).read_text(encoding="utf-8").replace("<wbr>", "")


def test_a_file_that_did_not_arrive_is_said_before_the_first_figure(small: Site) -> None:
    html = _page(small, "operations/chemical_use.html")
    said = html.index("No file of air samples arrived")
    assert said < html.index("<figure")
    assert said < html.index("<table")


def test_a_check_that_could_not_run_is_named_with_its_reason(small: Site) -> None:
    html = _page(small, "operations/chemical_use.html")
    checks = sum(rule.family in PAGE.families for rule in catalogue().values())
    assert f"2 of {checks} checks of this page could not run: sample over limit" in html
    assert "no file of air_samples arrived" in html


def test_a_file_set_aside_is_named_with_its_reason(small: Site) -> None:
    html = _page(small, "operations/custody.html")
    assert "The file cases_old&lt;br&gt;.csv was set aside whole" in html


def test_not_checked_stands_above_passed_in_the_catalogue(small: Site) -> None:
    rows = re.findall(r"#m-[a-z-]+\"/></svg>(not checked|found|passed)</span>",
                      _page(small, "compliance/rules.html"))  # fmt: skip
    reported = rows[: rows.index("passed")]
    assert rows[0] == "not checked"
    assert set(reported) == {"not checked", "found"}


def test_the_whole_catalogue_is_on_its_page_with_its_words(small: Site) -> None:
    page = html.unescape(_page(small, "compliance/rules.html"))
    for code, rule in catalogue().items():
        for text in (words.plain(code), rule.says, rule.mend, rule.mended_by, rule.source):
            assert text in page, code
        for text in (rule.citation, rule.twin):
            assert (text or "") in page, code


def test_open_cases_in_no_step_are_named_where_the_week_begins(small: Site) -> None:
    for page in ("monday", "turnaround"):
        html = _page(small, f"operations/{page}.html")
        assert "2 open cases have every step done: close BI-26-0012, BI-26-0013." in html
        assert "1 open case has no step open, for times are missing: BI-26-0014." in html


def test_an_empty_list_says_how_many_were_checked(small: Site) -> None:
    assert "27 cases and items checked. None is of this kind." in _page(
        small, "accounts/merchandise.html"
    )


def test_a_table_without_its_file_is_not_checked_and_not_zero(small: Site) -> None:
    assert "No file of air samples arrived, so exposure was not checked." in _page(
        small, "compliance/chemical_use.html"
    )


def test_every_mark_has_a_word_and_a_shape(small: Site) -> None:
    for page in small.pages:
        html = page.path.read_text(encoding="utf-8")
        for shape, word in re.findall(r'<span class="mark"><svg[^>]*><use href="#([\w-]+)"/></svg>'
                                      r"([^<]*)</span>", html):  # fmt: skip
            assert word.strip(), page.path
            assert f'id="{shape}"' in html, page.path


@pytest.fixture(scope="module")
def clean(small: Site, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same warehouse with nothing to find, nothing held back and nobody in doubt."""
    folder = tmp_path_factory.mktemp("clean")
    warehouse = folder / "warehouse.duckdb"
    shutil.copyfile(small.warehouse, warehouse)
    with duckdb.connect(str(warehouse)) as connection:
        connection.execute(
            """delete from marts.findings; delete from quality.rejects; delete from marts.held_back;
            delete from marts.held_back_to_mend;
            delete from marts.custody_gaps; delete from raw.files where set_aside is not null;
            update marts.custody_cases set custody_status = 'proven', held_kind = null;
            update marts.rule_states set state = 'passed', found_count = 0, why = null;
            update quality.file_accounts set held_back = 0, accepted = 99;
            delete from quality.file_accounts where set_aside is not null;
            insert into raw.files (file_id, file_name, feed, exported_at, loaded_at, arrival)
            values ('f-air', 'air_samples-2026-11-16.csv', 'air_samples',
                timestamp '2026-11-16 06:00:00', timestamp '2026-11-16 12:00:00', 50);
            update marts.charges_checked set check_state = 'agrees', difference = 0"""
        )
    publish(warehouse, folder / "site", as_of=AS_OF)
    return folder / "site"


def test_a_clean_run_gives_the_denominator_as_proof(clean: Path) -> None:
    custody = (clean / "operations" / "custody.html").read_text(encoding="utf-8")
    assert "14 people in care checked. Every chain is whole." in custody
    assert "40 chains of custody every one is whole" in re.sub(r"<[^>]+>", "", custody)
    assert "40 cases checked. None has a break in its chain." in custody
    prices = (clean / "owner" / "prices.html").read_text(encoding="utf-8")
    assert "80 invoice lines checked. None is above the list." in prices


def test_a_clean_run_says_that_all_files_came_and_all_checks_ran(clean: Path) -> None:
    html = (clean / "compliance" / "findings.html").read_text(encoding="utf-8")
    checks = sum(rule.effect is Effect.REPORTED for rule in catalogue().values())
    assert (
        f"All 7 kinds of file this page uses arrived. All {checks} checks of this page ran." in html
    )
    assert "No critical finding is open" in html


def test_a_group_without_any_record_still_gets_its_pages(small: Site, tmp_path: Path) -> None:
    warehouse = tmp_path / "empty.duckdb"
    shutil.copyfile(small.warehouse, warehouse)
    with duckdb.connect(str(warehouse)) as connection:
        tables = connection.execute(
            "select table_schema || '.' || table_name from information_schema.tables where "
            "table_schema in ('marts', 'accepted', 'raw') and table_type = 'BASE TABLE'"
        ).fetchall()
        for (table,) in tables:
            connection.execute(f"delete from {table}")
        connection.execute("delete from quality.rejects; delete from quality.file_accounts")
    pages = publish(warehouse, tmp_path / "site", as_of=AS_OF)
    assert len(pages) > 25
    html = (tmp_path / "site" / "operations" / "turnaround.html").read_text(encoding="utf-8")
    assert "No complete week has a finished case yet" in html
    assert "No file of cases arrived" in html


@pytest.mark.parametrize(
    ("home", "person", "other", "place"),
    [
        ("null", "'CARE'", "null", "person at CARE"),
        ("'ALDER'", "'ALDER'", "'CREM'", "ALDER; the other at CREM"),
        ("'(group)'", "null", "null", "all homes"),
        ("null", "null", "null", None),
    ],
)
def test_a_finding_of_somebody_without_a_case_says_where_the_person_is(
    small: Site, tmp_path: Path, home: str, person: str, other: str, place: str | None
) -> None:
    warehouse = tmp_path / "warehouse.duckdb"
    shutil.copyfile(small.warehouse, warehouse)
    with duckdb.connect(str(warehouse)) as connection:
        connection.execute(
            f"update marts.findings set location_id = {home}, person_place_id = {person}, "
            f"other_person_place_id = {other} where rule_code = 'permit_late'"
        )
        listed = rule_table("permit_late").sql
        shown = connection.execute(f"select place from ({listed})").fetchall()
    assert shown == [(place,)]
