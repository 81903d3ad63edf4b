"""What a newer file speaks for and no longer holds has vanished; nothing else has."""

import itertools
from datetime import date
from pathlib import Path

import duckdb
import pytest

from pipelines.feeds import FEEDS
from pipelines.load import create_schemas, find_files, load_drop
from pipelines.load.versions import rank_versions
from pipelines.sources import Settings
from tests.pipelines.bills import (
    BILLS,
    FATES,
    FULL,
    MONTHLY,
    bill_line,
    bill_settings,
    counting,
    take,
)
from tests.pipelines.conftest import LOADED_AT, Bench


def test_a_full_file_speaks_for_everything(bench: Bench) -> None:
    bench.write(
        "bills_2026-11-01.csv", BILLS + bill_line(1, "2026-09-30") + bill_line(2, "2026-10-02")
    )
    bench.write("bills_2026-11-08.csv", BILLS + bill_line(2, "2026-10-02"))
    take(bench, FULL)
    assert counting(bench) == [2]
    assert bench.rows(FATES) == [
        ("bills_2026-11-01.csv", 2, "vanished"),
        ("bills_2026-11-01.csv", 3, "repeated"),
    ]
    assert bench.rows(
        "select record_key, kind, column_name, older_line, newer_line from quality.changes"
    ) == [("S|B1|1", "vanished", None, 2, None)]
    assert bench.rows(
        "select records_read, accepted, repeated, vanished from quality.file_accounts "
        "order by file_name"
    ) == [(2, 0, 1, 1), (1, 1, 0, 0)]


def test_a_file_that_declares_no_slice_speaks_for_its_own_records_alone(bench: Bench) -> None:
    bench.write("bills_2026-11-01.csv", BILLS + bill_line(1, "2026-09-30"))
    bench.write("bills_2026-11-08.csv", BILLS + bill_line(2, "2026-10-02"))
    take(bench, bill_settings())
    assert counting(bench) == [1, 2]


def test_a_period_file_speaks_for_its_period_alone(bench: Bench) -> None:
    bench.write("bills_2026-09_on_2026-10-01.csv", BILLS + bill_line(1, "2026-09-30"))
    bench.write(
        "bills_2026-10_on_2026-11-01.csv",
        BILLS + bill_line(2, "2026-10-02") + bill_line(3, "2026-10-31"),
    )
    bench.write("bills_2026-10_on_2026-11-09.csv", BILLS + bill_line(3, "2026-10-31"))
    take(bench, MONTHLY)
    assert counting(bench) == [1, 3]


def test_a_record_that_comes_back_counts_again(bench: Bench) -> None:
    bench.write("bills_2026-11-01.csv", BILLS + bill_line(1, "2026-09-30"))
    bench.write("bills_2026-11-08.csv", BILLS)
    bench.write("bills_2026-11-15.csv", BILLS + bill_line(1, "2026-09-30"))
    take(bench, FULL)
    assert counting(bench) == [1]


@pytest.mark.parametrize(
    "damage",
    [
        "S,B1\n",
        ",,,2026-10-02,ALDER,URN,1,1.00,1.00\n",
        "S,#REF!,4,2026-10-02,ALDER,URN,1,1.00,1.00\n",
        "S,1.00E+05,4,2026-10-02,ALDER,URN,1,1.00,1.00\n",
        'S,B1,4,2026-10-02,ALDER,"URN\nS,B1,5,2026-10-02,ALDER,X,1,1,1\nY",1,1.00,1.00\n',
    ],
    ids=["unreadable", "no key", "error word", "power of ten", "swallowed"],
)
def test_a_file_with_a_record_that_cannot_be_told_makes_nothing_vanish(
    bench: Bench, damage: str
) -> None:
    bench.write("bills_2026-11-01.csv", BILLS + bill_line(1, "2026-09-30"))
    bench.write("bills_2026-11-08.csv", BILLS + bill_line(2, "2026-10-02") + damage)
    take(bench, FULL)
    assert {1, 2} <= set(counting(bench))
    unheard = (
        "select f.file_name, q.line, q.detail from quality.notes q "
        "join raw.files f using (file_id) where q.rule_code = 'export_not_heard'"
    )
    ((name, line, detail),) = bench.rows(unheard)
    assert (name, line) == ("bills_2026-11-08.csv", 1)
    assert "every older record that it no longer holds still counts" in str(detail)
    bench.write("bills_2026-11-15.csv", BILLS + bill_line(2, "2026-10-02"))
    take(bench, FULL)
    assert counting(bench) == [2]
    assert bench.rows(unheard) == []


def test_what_vanished_is_held_back_for_nothing(bench: Bench) -> None:
    first = bill_line(1, "2026-10-02")
    bench.write("bills_2026-11-01.csv", BILLS + first + bill_line(1, "2026-10-02", "2.00"))
    bench.write("bills_2026-11-08.csv", BILLS + bill_line(2, "2026-10-02"))
    take(bench, FULL)
    assert [row[2] for row in bench.rows(FATES)] == ["vanished", "vanished"]
    assert bench.rows("select * from quality.rejects") == []


def test_an_older_file_that_comes_late_makes_nothing_vanish(bench: Bench) -> None:
    bench.write(
        "bills_2026-11-08.csv", BILLS + bill_line(1, "2026-09-30") + bill_line(2, "2026-10-02")
    )
    take(bench, FULL)
    bench.write("bills_2026-11-01.csv", BILLS + bill_line(1, "2026-09-30"))
    take(bench, FULL)
    assert counting(bench) == [1, 2]


def test_what_changes_in_a_closed_month_says_so(bench: Bench) -> None:
    closing = {"closed_months": {"2026-09": date(2026, 10, 5)}}
    settings = FULL.model_copy(update=closing)
    second, third = bill_line(2, "2026-09-30"), bill_line(3, "2026-10-01")
    bench.write("bills_2026-10-01.csv", BILLS + bill_line(1, "2026-09-30") + second + third)
    bench.write("bills_2026-10-04.csv", BILLS + bill_line(1, "2026-09-30", "2.00") + second + third)
    moved, dearer = bill_line(1, "2026-10-02", "2.00"), bill_line(3, "2026-10-01", "3.00")
    bench.write("bills_2026-10-08.csv", BILLS + moved + dearer + bill_line(4, "2026-09-29"))
    take(bench, settings)
    assert bench.rows(
        "select record_key, kind, column_name, touches from quality.changes order by all"
    ) == [
        ("S|B1|1", "changed", "bill_date", "closed month"),
        ("S|B1|1", "changed", "line_total", None),
        ("S|B1|1", "changed", "unit_cost", None),
        ("S|B1|2", "vanished", None, "closed month"),
        ("S|B1|3", "changed", "line_total", None),
        ("S|B1|3", "changed", "unit_cost", None),
        ("S|B1|4", "added", None, "closed month"),
    ]


@pytest.mark.parametrize("settings", [FULL, MONTHLY], ids=["full", "period"])
def test_every_order_of_the_same_slices_ends_in_the_same_warehouse(
    tmp_path: Path, settings: Settings
) -> None:
    """A record that vanishes, one that comes back, one of another month, the same bytes."""
    first, second, other = (
        bill_line(1, "2026-10-02"),
        bill_line(2, "2026-10-09"),
        bill_line(3, "2026-09-30"),
    )
    texts = {
        "bills_2026-10_on_2026-11-01.csv": BILLS + first + second,
        "bills_2026-10_on_2026-11-02.csv": BILLS + second,
        "bills_2026-09_on_2026-11-03.csv": BILLS + other,
        "bills_2026-10_on_2026-11-04.csv": BILLS + first + second,
    }
    outcomes = set()
    for place, order in enumerate(itertools.permutations(texts)):
        with duckdb.connect(":memory:") as con:
            create_schemas(con)
            bench = Bench(con, tmp_path / str(place))
            bench.drop.mkdir()
            for name in order:
                bench.write(name, texts[name])
                take(bench, settings)
            outcomes.add(
                tuple(
                    repr(con.execute(f"select * from {table} order by all").fetchall())
                    for table in (
                        "accepted.supplier_bill_lines",
                        "quality.changes",
                        "quality.outdated",
                    )
                )
            )
    assert len(outcomes) == 1


@pytest.mark.parametrize("offset", ["Z", "+00:00", "+0000"])
def test_a_time_in_utc_may_be_of_the_day_before_where_it_was_written(
    bench: Bench, offset: str
) -> None:
    columns = "sample_id,location_id,started_at,minutes,formaldehyde_ppm,sample_kind\n"
    line = "{},CARE,{}" + offset + ",480,0.21,shift\n"
    air = {"files": ["air_*"], "slice": "period", "period": "%Y-%m"}
    settings = Settings.model_validate({"sources": {"lab": {"feeds": {"air_samples": air}}}})
    last = line.format("last of May", "2026-06-01T04:30")
    bench.write("air_2026-05_on_2026-06-01.csv", columns + last)
    bench.write("air_2026-06_on_2026-07-01.csv", columns + line.format("June", "2026-06-09T09:00"))
    load_drop(bench.con, find_files(bench.drop, settings), LOADED_AT)
    rank_versions(bench.con, FEEDS["air_samples"], settings)
    assert bench.rows("select * from quality.outdated") == []
