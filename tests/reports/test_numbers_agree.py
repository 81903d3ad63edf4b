"""What two places of the site say of one thing is the same, or the page says why it is not."""

import csv
import html
import re
import shutil
from decimal import Decimal
from pathlib import Path

import duckdb
import polars as pl
import pytest

from reports import words
from reports.cells import cells
from reports.listings.custody import unproven_gone_table
from reports.tables import Column, Kind
from tests.conftest import DemoRun
from tests.reports.conftest import Site


class _OneZone:
    def zone_of(self, place: object) -> str:
        return "America/Chicago"


def _page(demo_run: DemoRun, path: str) -> str:
    text = (demo_run.site / path).read_text(encoding="utf-8").replace("<wbr>", "")
    return html.unescape(re.sub(r"<[^>]+>", " ", text))


def _download(demo_run: DemoRun, path: str) -> list[dict[str, str]]:
    with (demo_run.site / path).open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def test_a_day_is_printed_as_it_is_and_an_instant_on_the_clock_of_its_place() -> None:
    frame = pl.DataFrame({"at": ["2026-01-01T00:00", "2026-01-01T00:00"], "is_day": [True, False]})
    frame = frame.with_columns(pl.col("at").str.to_datetime())
    column = Column("at", "When", Kind.INSTANT, day_by="is_day")
    assert [cell.text for cell in cells(column, frame, _OneZone())] == [
        "2026-01-01",
        "2025-12-31 18:00 -06:00",
    ]


def test_quantities_have_decimals_only_in_a_column_that_needs_them() -> None:
    column = Column("pieces", "Pieces", Kind.QUANTITY)
    for values, printed in (
        ([Decimal(1), Decimal("1200.0000"), None], ["1", "1,200", "[x]"]),
        ([Decimal(1), Decimal("-2.5")], ["1.00", "-2.50"]),
    ):
        frame = pl.DataFrame({"pieces": values}, schema={"pieces": pl.Decimal(18, 4)})
        assert [cell.text for cell in cells(column, frame, _OneZone())] == printed
    assert [words.quantity(v) for v in (Decimal("3.0000"), Decimal("2.5"))] == ["3", "2.50"]


@pytest.mark.parametrize(
    "path", ["accounts/prices.html", "compliance/findings.html", "compliance/prices.html"]
)
def test_no_page_dates_a_document_by_the_evening_before(demo_run: DemoRun, path: str) -> None:
    said = _page(demo_run, path)
    assert re.search(r"list item missing\s+BIRCH\s+2026-01-01 ", said)
    assert "2025-12-31" not in said


def test_the_newest_critical_finding_is_dated_as_its_row(demo_run: DemoRun) -> None:
    """It happened at 22:30 on the group's clock: in UTC it was the next day already."""
    said = _page(demo_run, "compliance/findings.html")
    assert "the newest critical one is of 15 November 2026" in said
    assert "2026-11-15 22:30 -06:00" in re.sub(r"\s+", " ", said)


def test_every_chain_that_is_not_proven_is_listed_and_has_a_sheet(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    unproven = {
        case
        for (case,) in demo.execute(
            "select case_number from marts.custody_cases where custody_status = 'not proven'"
        ).fetchall()
    }
    assert len(unproven) > 20
    here = _download(demo_run, "compliance/downloads/custody-unproven.csv")
    gone = _download(demo_run, "compliance/downloads/custody-unproven-gone.csv")
    listed = [row["case_number"] for row in (*here, *gone)]
    assert sorted(listed) == sorted(unproven)
    sheets = {path.stem for path in (demo_run.site / "compliance" / "cases").glob("*.html")}
    assert {f"case-{case}" for case in unproven} - sheets == set()


def test_a_record_with_two_faults_is_one_record_held_back(small: Site, tmp_path: Path) -> None:
    """Line 31 waits for line 30, which the second rule names as well: two records."""
    copy = tmp_path / "warehouse.duckdb"
    shutil.copyfile(small.warehouse, copy)
    with duckdb.connect(str(copy)) as connection:
        connection.execute(
            "update marts.custody_cases set is_in_care = false where case_number = 'AL-26-0003'; "
            "insert into marts.held_back_records select * replace ('not_an_instant' as rule_code) "
            "from marts.held_back_records where line = 30"
        )
        rows = connection.sql(unproven_gone_table(1).sql).pl()
    of_case = rows.filter(pl.col("case_number") == "AL-26-0003")
    assert of_case["records"].to_list() == [2]
    assert of_case["held_by"].to_list() == ["chain party break; not an instant"]


def test_the_sheet_of_a_case_with_records_held_back_does_not_look_clean(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    """Nobody read a band at a move: the rule holds the records back and is no finding."""
    case = demo.execute(
        "select min(case_number) from quality.rejects where rule_code = 'chain_move_without_band' "
        "and case_number not in (select case_number from marts.finding_people)"
    ).fetchall()[0][0]
    sheet = re.sub(r"\s+", " ", _page(demo_run, f"compliance/cases/case-{case}.html"))
    assert "chain move without band" in sheet
    assert "Partly checked No finding. But records of this case are held back" in sheet
    assert "Partly checked No break of holder, place, time or band." in sheet
    assert "No rule found anything" not in sheet


def test_the_sheet_of_somebody_with_another_band_says_which_was_expected(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    case, expected, found = demo.execute(
        "select case_number, band_expected, band_found from marts.custody_gaps "
        "where gap_kind = 'band' order by 1 limit 1"
    ).fetchall()[0]
    sheet = _page(demo_run, f"compliance/cases/case-{case}.html")
    assert "(does not follow: band)" in sheet
    assert expected in sheet
    assert found in sheet


def test_a_place_has_the_open_findings_about_the_people_whom_the_census_has_there(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    """One of two people may be elsewhere; what stands under the place itself is not told twice."""
    told = 0
    for page in sorted((demo_run.site / "compliance" / "findings").glob("place-*.html")):
        place = page.stem.removeprefix("place-")
        expected = demo.execute(
            "select distinct f.finding_key from marts.findings as f, marts.census as c "
            "where f.answer_state <> 'answered' and f.location_id is distinct from $place "
            "and c.place_id = $place and c.case_number in (f.case_number, f.other_case_number)",
            {"place": place},
        ).fetchall()
        path = f"compliance/downloads/findings-place-{place}-people-here.csv"
        listed = sorted(row["finding_key"] for row in _download(demo_run, path))
        assert listed == sorted(key for (key,) in expected)
        said = re.sub(r"\s+", " ", _page(demo_run, f"compliance/findings/{page.name}"))
        assert (f"and {len(listed)} of other places about people there" in said) == bool(listed)
        told += len(listed)
    assert told > 3


def test_a_broken_chain_is_one_line_of_what_to_mend_and_its_records_wait_with_it(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    page = (demo_run.site / "compliance" / "held_back.html").read_text(encoding="utf-8")
    lines = re.findall(r"<tr.*?</tr>", page.split('id="t-records"')[1].split("</table>")[0], re.S)
    waiting = demo.execute(
        "select case_number, count(distinct line) from quality.rejects "
        "where rule_code = 'chain_held' group by case_number"
    ).fetchall()
    assert len(waiting) > 5
    for case, records in waiting:
        of_case = [line for line in lines if f">{case}<" in line and ">chain" in line]
        (line,) = of_case or [line for line in lines if f">{case}<" in line]
        assert line.rsplit("<td", 1)[1].split(">", 1)[1].startswith(f"{records}<"), line
        assert "custody_<wbr>events" in line


def test_who_lacks_papers_and_must_not_move_anyway_is_counted_on_the_page(
    demo_run: DemoRun,
) -> None:
    rows = _download(demo_run, "operations/downloads/before_moving-papers-outstanding.csv")
    stopped = [row["clearance_state"] == "must not move" for row in rows]
    assert stopped == sorted(stopped, reverse=True)
    said = _page(demo_run, "operations/before_moving.html")
    assert f"{len(stopped) - sum(stopped)} wait for papers" in re.sub(r"\s+", " ", said)
    assert f"{sum(stopped)} of these people must not move now anyway" in said


def test_control_totals_add_up_in_every_row(demo_run: DemoRun) -> None:
    rows = _download(demo_run, "accounts/downloads/merchandise-control.csv")
    assert sum(int(row["other_count"]) for row in rows) > 0
    for row in rows:
        parts = ("accepted_count", "held_count", "other_count")
        assert int(row["records_read"]) == sum(int(row[part]) for part in parts), row


def test_control_totals_are_those_of_the_files_of_the_group(demo_run: DemoRun) -> None:
    """What came with the program is no file that an accountant has."""
    files = _download(demo_run, "accounts/downloads/data_quality-files.csv")
    control = _download(demo_run, "accounts/downloads/merchandise-control.csv")
    assert sorted(row["file_name"] for row in control) == sorted(row["file_name"] for row in files)
    table = _page(demo_run, "accounts/merchandise.html").split("Control totals by file")[-1]
    read = sum(int(row["records_read"]) for row in files)
    assert re.search(rf"Total of {len(files)} rows\s+{read:,}\s", table)


@pytest.mark.parametrize("path", ["operations/held_back.html", "accounts/data_quality.html"])
def test_a_page_of_every_file_has_one_count_of_records(demo_run: DemoRun, path: str) -> None:
    said = re.sub(r"\s+", " ", _page(demo_run, path))
    counts = re.findall(r"(\d+) of ([\d,]+) records", said)
    assert len(counts) >= 2
    assert len(set(counts)) == 1


def test_a_critical_page_says_in_its_title_what_is_critical(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    said = re.sub(r"\s+", " ", _page(demo_run, "owner/index.html"))
    critical = demo.execute(
        "select count(*) from marts.findings where severity = 'critical'"
    ).fetchall()[0][0]
    told = rf"Critical .*? by more than chance.*?; {critical} critical findings are open"
    assert re.search(told, said)


def test_a_title_gives_no_embalming_the_fluid_of_other_cases(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    """Fluid without an embalming on record, or without a case, is in the grams of the week."""
    other = demo.execute(
        "select count(*) from marts.chemical_use_by_week "
        "where formaldehyde_g_other_case + formaldehyde_g_without_case > 0"
    ).fetchall()
    assert other[0][0] > 0
    said = re.sub(r"\s+", " ", _page(demo_run, "compliance/chemical_use.html"))
    assert "6 embalmings and 3,016 g of formaldehyde issued in the week" in said
    assert re.search(r"AS-CARE-1T-1 CARE .*? 0\.5 task", said), "half a minute is not none"


def test_a_week_with_fluid_that_is_in_no_sum_says_at_least(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    weeks = demo.execute(
        "select week_label, sum(movements_not_counted) > 0 from marts.chemical_use_by_week "
        "group by week_label order by week_label desc"
    ).fetchall()
    said = []
    for label, is_short in weeks:
        page = demo_run.site / "compliance" / "chemical_use" / f"{label}.html"
        if page.exists():
            title = re.sub(r"<.*?>", "", page.read_text(encoding="utf-8").split("<h1>")[1])
            assert (" at least " in title.split("issued in the week")[0]) == is_short, label
            said.append(is_short)
    assert set(said) == {True, False}
