"""Lists that are whole, columns that can be told apart, and codes that say what is true."""

import csv
import re
from pathlib import Path

import duckdb

from pipelines.feeds.declare import PARTY_KINDS
from reports import words
from reports.listings.handovers import handovers
from reports.warehouse import Warehouse
from tests.conftest import DemoRun
from tests.reports.small_warehouse import AS_OF


def _pages(folder: Path) -> list[tuple[Path, str]]:
    found = [p for p in sorted(folder.rglob("*.html")) if p.parent.name != "cases"]
    return [(path, path.read_text(encoding="utf-8")) for path in found]


def _rows(page: str, table: str) -> list[str]:
    found = re.search(rf'id="t-{table}">.*?<tbody>(.*?)</tbody>', page, re.S)
    return re.findall(r"<tr.*?</tr>", found[1], re.S) if found else []


def test_every_open_step_past_its_target_is_on_the_page(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    (late,) = demo.execute(
        "select count(*) from marts.case_steps where step_state = 'open' and hours > target_hours"
    ).fetchall()[0]
    (stuck,) = demo.execute(
        "select count(*) from marts.stuck_list where hours_over > 0"
    ).fetchall()[0]
    page = (demo_run.site / "operations" / "turnaround.html").read_text(encoding="utf-8")
    assert len(_rows(page, "waiting")) == late > 15
    assert len(_rows(page, "stuck")) >= stuck > 20


def test_who_reads_the_number_of_a_finding_reads_what_to_do(demo_run: DemoRun) -> None:
    for name, table in (("before_moving", "must-not-move"), ("census", "in-doubt")):
        page = (demo_run.site / "operations" / f"{name}.html").read_text(encoding="utf-8")
        numbers = set(re.findall(r"No\. (\d+)", "".join(_rows(page, table))))
        told = "".join(_rows(page, "named"))
        assert numbers
        assert numbers <= set(re.findall(r'<th scope="row"[^>]*>(?:<bdi>)?(\d+)', told)), name


def test_no_table_has_two_columns_of_one_name(demo_run: DemoRun) -> None:
    for path, page in _pages(demo_run.site):
        for head in re.findall(r"<thead><tr>(.*?)</tr></thead>", page, re.S):
            names = re.findall(r"<th[^>]*>(.*?)</th>", head)
            assert len(names) == len(set(names)), (path, names)


def test_a_percentage_has_its_sign_in_the_heading_alone(demo_run: DemoRun) -> None:
    for path, page in _pages(demo_run.site):
        assert not re.search(r'<td class="n">[\d.]+%</td>', page), path


def test_a_column_without_any_value_is_named_and_not_printed(demo_run: DemoRun) -> None:
    for path, page in _pages(demo_run.site / "operations"):
        for body in re.findall(r"<tbody>(.*?)</tbody>", page, re.S):
            rows = [re.findall(r"<t[dh].*?</t[dh]>", row) for row in re.findall(
                r"<tr.*?</tr>", body, re.S)]  # fmt: skip
            if len(rows) < 2:
                continue
            for cells in list(zip(*rows, strict=True))[1:]:
                assert not all(re.search(r'"code">\[', cell) for cell in cells), (path, cells[0])


def test_p_is_never_nought(demo_run: DemoRun) -> None:
    for path, page in _pages(demo_run.site):
        for row in _rows(page, "pace"):
            assert ">0.000<" not in row, path


def test_only_a_place_is_told_to_send_its_records_to_nobody_else(demo_run: DemoRun) -> None:
    page = (demo_run.site / "compliance" / "held_back.html").read_text(encoding="utf-8")
    for listing in page.split('<div class="listing"')[1:]:
        caption = re.search(r"<h3[^>]*>(.*?)</h3>", listing)
        if caption and caption[1] in ("To no place that is named", "To the whole group"):
            assert "send it to nobody else" not in listing, caption[1]


def test_a_party_of_no_declared_kind_is_counted_as_another(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    """The demo hands one person to 'the brother', which is no place and no kind of party."""
    with Warehouse(demo_run.warehouse, AS_OF) as warehouse:
        known = {*warehouse.places, *PARTY_KINDS, "place of death", "other"}
        (matrix, *pairs) = handovers(warehouse)
        givers = set(warehouse.frame(matrix.sql)["giver"].to_list())
        takers = {c.heading.removeprefix("To ") for c in matrix.columns if c.name.startswith("to_")}
        named = {words.plain(warehouse.name_of(party)) for party in known}
        named_in_pairs = {
            party for pair in pairs
            for row in warehouse.rows(f"select giver, taker from ({pair.sql})")
            for party in row if party is not None
        }  # fmt: skip
    assert givers | named_in_pairs <= known
    assert takers <= named


def test_the_custody_title_says_that_all_signed_where_all_did(
    demo_run: DemoRun, demo: duckdb.DuckDBPyConnection
) -> None:
    page = (demo_run.site / "operations" / "custody.html").read_text(encoding="utf-8")
    since = f"timestamp '{AS_OF:%Y-%m-%d %H:%M}' - interval 13 week"
    (unsigned,) = demo.execute(
        "select count(*) from (select handover, started_at as moved_at from marts.custody_legs "
        "union all select release_handover, ended_at from marts.custody_legs) "
        f"where handover not in ('both', 'no handover') and moved_at >= {since}"
    ).fetchall()[0]
    assert ("both sides signed at every one of" in page) == (unsigned == 0)
    assert ("a signature is missing" in page) == (unsigned > 0)


def test_the_matrix_adds_up_by_row_and_by_column(demo_run: DemoRun) -> None:
    path = demo_run.site / "operations" / "downloads" / "custody-handover-map.csv"
    with path.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    page = (demo_run.site / "operations" / "custody.html").read_text(encoding="utf-8")
    foot = re.search(r'id="t-handover-map">.*?<tfoot>(.*?)</tfoot>', page, re.S)
    assert foot
    shown = [int(n.replace(",", "")) for n in re.findall(r'<td class="n">([\d,]+)', foot[1])]
    assert shown[0] == sum(int(row["all_takers"]) for row in rows)
    columns = [name for name in rows[0] if name.startswith("to_")]
    sums = [sum(int((row[name] or "0").split(" ")[0]) for row in rows) for name in columns]
    assert shown[2:] == sums


def test_the_points_of_the_home_pictures_are_in_their_table(demo_run: DemoRun) -> None:
    page = (demo_run.site / "operations" / "homes_by_week.html").read_text(encoding="utf-8")
    assert len(_rows(page, "by-week")) > 13
    assert 'are in the table “Each home week by week”' in page
