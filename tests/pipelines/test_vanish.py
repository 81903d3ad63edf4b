"""What a newer file speaks for and no longer holds has vanished; nothing else has."""

import itertools
from datetime import date, timedelta
from pathlib import Path

import duckdb
import pytest

from pipelines.errors import DropError
from pipelines.feeds import FEEDS
from pipelines.load import create_schemas, find_files, load_drop
from pipelines.load.vanish import require_confirmed
from pipelines.load.versions import rank_versions
from pipelines.sources import Settings
from pipelines.sources.match import EVERYTHING, Slice, match, slice_of
from tests.pipelines.conftest import LOADED_AT, Bench
from validation.account import account_files
from validation.parse import parse_feed

BILLS = (
    "supplier_code,bill_number,line_number,bill_date,location_id,item_code,quantity,unit_cost,"
    "line_total\n"
)
FATES = (
    "select f.file_name, o.line, o.fate from quality.outdated o join raw.files f using (file_id) "
    "order by 1, 2"
)


def _settings(**part: str | int) -> Settings:
    files = {"files": ["bills_*"], **part}
    return Settings.model_validate(
        {"sources": {"stock": {"feeds": {"supplier_bill_lines": files}}}}
    )


FULL = _settings(slice="full")
MONTHLY = _settings(slice="period", period="%Y-%m")


def _line(number: int, day: str, cost: str = "1.00") -> str:
    return f"S,B1,{number},{day},ALDER,URN,1,{cost},{cost}\n"


def _take(bench: Bench, settings: Settings, is_confirmed: bool = True) -> None:
    load_drop(bench.con, find_files(bench.drop, settings), LOADED_AT)
    for table in ("outdated", "changes", "rejects", "notes"):
        bench.con.execute(f"delete from quality.{table}")
    removals = rank_versions(bench.con, FEEDS["supplier_bill_lines"], settings)
    parse_feed(bench.con, FEEDS["supplier_bill_lines"], settings)
    account_files(bench.con)
    require_confirmed(bench.con, removals, settings, is_confirmed)


def _counting(bench: Bench) -> list[object]:
    return [
        row[0]
        for row in bench.rows("select line_number from accepted.supplier_bill_lines order by all")
    ]


def test_a_full_file_speaks_for_everything(bench: Bench) -> None:
    bench.write("bills_2026-11-01.csv", BILLS + _line(1, "2026-09-30") + _line(2, "2026-10-02"))
    bench.write("bills_2026-11-08.csv", BILLS + _line(2, "2026-10-02"))
    _take(bench, FULL)
    assert _counting(bench) == [2]
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
    bench.write("bills_2026-11-01.csv", BILLS + _line(1, "2026-09-30"))
    bench.write("bills_2026-11-08.csv", BILLS + _line(2, "2026-10-02"))
    _take(bench, _settings())
    assert _counting(bench) == [1, 2]


def test_a_period_file_speaks_for_its_period_alone(bench: Bench) -> None:
    bench.write("bills_2026-09_on_2026-10-01.csv", BILLS + _line(1, "2026-09-30"))
    bench.write(
        "bills_2026-10_on_2026-11-01.csv", BILLS + _line(2, "2026-10-02") + _line(3, "2026-10-31")
    )
    bench.write("bills_2026-10_on_2026-11-09.csv", BILLS + _line(3, "2026-10-31"))
    _take(bench, MONTHLY)
    assert _counting(bench) == [1, 3]


def test_the_same_bytes_exported_later_are_the_later_export(bench: Bench) -> None:
    bench.write("bills_2026-11-08.csv", BILLS + _line(1, "2026-09-30", "2.00"))
    bench.write("bills_2026-11-15.csv", BILLS + _line(1, "2026-09-30"))
    _take(bench, FULL)
    bench.write("bills_2026-11-01.csv", BILLS + _line(1, "2026-09-30"))
    bench.write("bills_2026-11-22.csv", BILLS + _line(1, "2026-09-30", "2.00"))
    _take(bench, FULL)
    assert bench.rows("select line_total::varchar from accepted.supplier_bill_lines") == [("2.00",)]
    assert bench.rows("select file_name from raw.files order by 1") == [
        ("bills_2026-11-15.csv",),
        ("bills_2026-11-22.csv",),
    ]


def test_an_undated_file_exported_again_with_a_date_is_the_later_export(bench: Bench) -> None:
    bench.write("bills_a.csv", BILLS + _line(1, "2026-09-30"))
    _take(bench, FULL)
    bench.write("bills_2026-11-20.csv", BILLS + _line(1, "2026-09-30", "2.00"))
    bench.write("bills_2026-12-01.csv", BILLS + _line(1, "2026-09-30"))
    _take(bench, FULL)
    assert bench.rows("select line_total::varchar from accepted.supplier_bill_lines") == [("1.00",)]


def test_a_date_that_the_settings_learn_to_read_counts_for_files_already_read(
    bench: Bench,
) -> None:
    bench.write("bills_08112026.csv", BILLS + _line(1, "2026-09-30", "2.00"))
    bench.write("bills_15102026.csv", BILLS + _line(1, "2026-09-30"))
    _take(bench, FULL)
    assert [row[0] for row in bench.rows("select rule_code from quality.rejects")] == [
        "key_with_two_contents"
    ] * 2
    _take(bench, _settings(slice="full", exported="%d%m%Y"))
    assert bench.rows("select line_total::varchar from accepted.supplier_bill_lines") == [("2.00",)]
    assert bench.rows("select * from quality.rejects") == []


def test_a_day_without_hyphens_orders_exports_as_one_with_them(bench: Bench) -> None:
    bench.write("bills_2026-11-05.csv", BILLS + _line(1, "2026-09-30", "2.00"))
    bench.write("bills_20261104.csv", BILLS + _line(1, "2026-09-30"))
    _take(bench, FULL)
    assert bench.rows("select line_total::varchar from accepted.supplier_bill_lines") == [("2.00",)]


def test_a_file_read_anew_under_other_settings_is_no_younger_than_it_was(bench: Bench) -> None:
    older = bench.write("bills_a.csv", BILLS + _line(1, "2026-09-30"))
    _take(bench, FULL)
    older.unlink()
    bench.con.execute("update raw.files set loaded_at = loaded_at - interval 1 day")
    newer = bench.write("bills_b.csv", BILLS + _line(1, "2026-09-30", "2.00"))
    _take(bench, FULL)
    newer.unlink()
    older.write_text(BILLS + _line(1, "2026-09-30"))
    _take(bench, _settings(slice="full", delimiter="comma"))
    assert bench.rows("select line_total::varchar from accepted.supplier_bill_lines") == [("2.00",)]


def test_the_empty_file_of_a_month_is_not_that_of_the_next(bench: Bench) -> None:
    bench.write("bills_2026-10_on_2026-11-01.csv", BILLS + _line(1, "2026-10-02"))
    bench.write("bills_2026-11_on_2026-11-01.csv", BILLS + _line(2, "2026-11-01"))
    bench.write("bills_2026-10_on_2026-11-05.csv", BILLS)
    _take(bench, MONTHLY)
    assert _counting(bench) == [2]
    bench.write("bills_2026-11_on_2026-12-05.csv", BILLS)
    _take(bench, MONTHLY)
    assert _counting(bench) == []


def test_the_empty_file_of_a_source_is_not_that_of_another(bench: Bench) -> None:
    both = {
        source: {"feeds": {"supplier_bill_lines": {"files": [f"{source}_*"], "slice": "full"}}}
        for source in ("north", "south")
    }
    for number, source in enumerate(both):
        bench.write(f"{source}_2026-11-01.csv", BILLS + _line(number, "2026-10-02"))
        bench.write(f"{source}_2026-11-02.csv", BILLS)
    _take(bench, Settings.model_validate({"sources": both}))
    assert _counting(bench) == []
    assert len(bench.rows("select * from raw.files")) == 4


def test_an_empty_file_that_was_set_aside_is_read_once_its_layout_is_known(bench: Bench) -> None:
    bench.write("bills_2026-11-01.csv", "Bills of the month\n" + BILLS)
    _take(bench, FULL)
    _take(bench, _settings(slice="full", lines_above_header=1))
    assert bench.rows("select set_aside from raw.files") == [(None,)]


def test_a_record_that_comes_back_counts_again(bench: Bench) -> None:
    bench.write("bills_2026-11-01.csv", BILLS + _line(1, "2026-09-30"))
    bench.write("bills_2026-11-08.csv", BILLS)
    bench.write("bills_2026-11-15.csv", BILLS + _line(1, "2026-09-30"))
    _take(bench, FULL)
    assert _counting(bench) == [1]


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
    bench.write("bills_2026-11-01.csv", BILLS + _line(1, "2026-09-30"))
    bench.write("bills_2026-11-08.csv", BILLS + _line(2, "2026-10-02") + damage)
    _take(bench, FULL)
    assert {1, 2} <= set(_counting(bench))
    unheard = (
        "select f.file_name, q.line, q.detail from quality.notes q "
        "join raw.files f using (file_id) where q.rule_code = 'export_not_heard'"
    )
    ((name, line, detail),) = bench.rows(unheard)
    assert (name, line) == ("bills_2026-11-08.csv", 1)
    assert "every older record that it no longer holds still counts" in str(detail)
    bench.write("bills_2026-11-15.csv", BILLS + _line(2, "2026-10-02"))
    _take(bench, FULL)
    assert _counting(bench) == [2]
    assert bench.rows(unheard) == []


def test_what_vanished_is_held_back_for_nothing(bench: Bench) -> None:
    first = _line(1, "2026-10-02")
    bench.write("bills_2026-11-01.csv", BILLS + first + _line(1, "2026-10-02", "2.00"))
    bench.write("bills_2026-11-08.csv", BILLS + _line(2, "2026-10-02"))
    _take(bench, FULL)
    assert [row[2] for row in bench.rows(FATES)] == ["vanished", "vanished"]
    assert bench.rows("select * from quality.rejects") == []


def test_an_older_file_that_comes_late_makes_nothing_vanish(bench: Bench) -> None:
    bench.write("bills_2026-11-08.csv", BILLS + _line(1, "2026-09-30") + _line(2, "2026-10-02"))
    _take(bench, FULL)
    bench.write("bills_2026-11-01.csv", BILLS + _line(1, "2026-09-30"))
    _take(bench, FULL)
    assert _counting(bench) == [1, 2]


def test_an_empty_full_export_waits_for_confirmation_and_is_asked_once(bench: Bench) -> None:
    bench.write("bills_2026-11-01.csv", BILLS + _line(1, "2026-09-30") + _line(2, "2026-10-02"))
    _take(bench, FULL, is_confirmed=False)
    bench.write("bills_2026-11-08.csv", BILLS)
    with pytest.raises(
        DropError, match=r"(?s)bills_2026-11-08.csv: 2 of 2 .* --confirm"
    ) as refused:
        _take(bench, FULL, is_confirmed=False)
    assert refused.value.exit_code == 2
    _take(bench, FULL, is_confirmed=True)
    assert _counting(bench) == []
    _take(bench, FULL, is_confirmed=False)


def test_as_many_may_vanish_as_the_group_says(bench: Bench) -> None:
    lines = [_line(n, "2026-10-02") for n in range(1, 21)]
    bench.write("bills_2026-11-01.csv", BILLS + "".join(lines))
    bench.write("bills_2026-11-08.csv", BILLS + "".join(lines[1:]))
    _take(bench, FULL, is_confirmed=False)  # one of twenty: 5 %, not more
    bench.write("bills_2026-11-15.csv", BILLS + "".join(lines[3:]))
    with pytest.raises(DropError, match="2 of 19"):
        _take(bench, FULL, is_confirmed=False)


def test_what_an_export_brings_for_the_first_time_does_not_hide_what_it_leaves_out(
    bench: Bench,
) -> None:
    bench.write("bills_2026-11-01.csv", BILLS + "".join(_line(n, "2026-10-02") for n in range(5)))
    _take(bench, FULL, is_confirmed=False)
    new = "".join(_line(n, "2026-10-02") for n in range(5, 205))
    bench.write("bills_2026-11-08.csv", BILLS + new)
    with pytest.raises(DropError, match="5 of 5 supplier_bill_lines"):
        _take(bench, FULL, is_confirmed=False)


def test_what_changes_or_stays_was_held_before_and_what_is_new_was_not(bench: Bench) -> None:
    lines = [_line(n, "2026-10-02") for n in range(7)]
    bench.write("bills_2026-11-01.csv", BILLS + "".join(lines))
    _take(bench, FULL, is_confirmed=False)
    changed = _line(2, "2026-10-02", "2.00")
    added = "".join(_line(n, "2026-10-02") for n in range(7, 10))
    bench.write("bills_2026-11-08.csv", BILLS + changed + "".join(lines[3:]) + added)
    with pytest.raises(DropError, match="2 of 7 supplier_bill_lines"):
        _take(bench, FULL, is_confirmed=False)


def test_of_two_exports_in_one_drop_each_is_measured_by_what_was_held_before_it(
    bench: Bench,
) -> None:
    lines = [_line(n, "2026-10-02") for n in range(40)]
    bench.write("bills_2026-11-01.csv", BILLS + "".join(lines[:2]))
    bench.write("bills_2026-11-08.csv", BILLS + "".join(lines[2:]))
    bench.write("bills_2026-11-15.csv", BILLS + "".join(lines[3:]))
    with pytest.raises(DropError) as refused:
        _take(bench, FULL, is_confirmed=False)
    assert "bills_2026-11-08.csv: 2 of 2" in str(refused.value)
    assert "bills_2026-11-15.csv" not in str(refused.value)  # 1 of 38


def test_a_month_is_measured_by_itself(bench: Bench) -> None:
    september = "".join(_line(n, "2026-09-02") for n in range(100))
    october = [_line(n, "2026-10-02") for n in range(100, 104)]
    bench.write("bills_2026-09_on_2026-10-01.csv", BILLS + september)
    bench.write("bills_2026-10_on_2026-11-01.csv", BILLS + "".join(october))
    _take(bench, MONTHLY, is_confirmed=False)
    bench.write("bills_2026-10_on_2026-11-08.csv", BILLS + "".join(october[1:]))
    with pytest.raises(DropError, match="1 of 4 supplier_bill_lines"):
        _take(bench, MONTHLY, is_confirmed=False)


def test_what_changes_in_a_closed_month_says_so(bench: Bench) -> None:
    closing = {"closed_months": {"2026-09": date(2026, 10, 5)}}
    settings = FULL.model_copy(update=closing)
    second, third = _line(2, "2026-09-30"), _line(3, "2026-10-01")
    bench.write("bills_2026-10-01.csv", BILLS + _line(1, "2026-09-30") + second + third)
    bench.write("bills_2026-10-04.csv", BILLS + _line(1, "2026-09-30", "2.00") + second + third)
    moved, dearer = _line(1, "2026-10-02", "2.00"), _line(3, "2026-10-01", "3.00")
    bench.write("bills_2026-10-08.csv", BILLS + moved + dearer + _line(4, "2026-09-29"))
    _take(bench, settings)
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
    first, second, other = _line(1, "2026-10-02"), _line(2, "2026-10-09"), _line(3, "2026-09-30")
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
                _take(bench, settings)
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


@pytest.mark.parametrize(
    ("name", "pattern", "slice_", "exported"),
    [
        ("bills_2026-10.csv", "%Y-%m", Slice(date(2026, 10, 1), date(2026, 11, 1)), None),
        ("bills_2026-12_2026-12-31.csv", "%Y-%m",
         Slice(date(2026, 12, 1), date(2027, 1, 1)), date(2026, 12, 31)),
        ("bills_2026-10-01_2026-10-31.csv", "%Y-%m-%d",
         Slice(date(2026, 10, 1), date(2026, 11, 1)), None),
        ("bills_2026-10-01_2026-10-31_2026-11-02.csv", "%Y-%m-%d",
         Slice(date(2026, 10, 1), date(2026, 11, 1)), date(2026, 11, 2)),
        ("bills_2026.csv", "%Y", Slice(date(2026, 1, 1), date(2027, 1, 1)), None),
        ("bills_2026_2026-11-02T0930.csv", "%Y",
         Slice(date(2026, 1, 1), date(2027, 1, 1)), date(2026, 11, 2)),
    ],
)  # fmt: skip
def test_the_period_is_read_from_the_name(
    name: str, pattern: str, slice_: Slice, exported: date | None
) -> None:
    settings = _settings(slice="period", period=pattern)
    assert slice_of(name, settings, "stock", "supplier_bill_lines") == slice_
    at = match(name, settings).exported_at
    assert (at.date() if at else None) == exported


@pytest.mark.parametrize("month", ["12-2026", "05-2026"])
def test_the_day_of_an_export_is_no_second_month(month: str) -> None:
    settings = _settings(slice="period", period="%m-%Y", exported="%d-%m-%Y")
    found = slice_of(f"bills_{month}_20-06-2026.csv", settings, "stock", "supplier_bill_lines")
    assert found is not None
    assert found.first is not None
    assert found.first.strftime("%m-%Y") == month
    assert found.until == (found.first + timedelta(days=32)).replace(day=1)


@pytest.mark.parametrize(
    ("name", "period"),
    [("bills_9999-12.csv", "%Y-%m"), ("bills_9999.csv", "%Y"), ("b_9999-12-31.csv", "%Y-%m-%d")],
)
def test_the_end_of_time_is_no_period(name: str, period: str) -> None:
    settings = _settings(slice="period", period=period)
    assert slice_of(name, settings, "stock", "supplier_bill_lines") is None


def test_a_full_file_needs_no_period_in_its_name() -> None:
    assert slice_of("bills_x.csv", FULL, "stock", "supplier_bill_lines") == EVERYTHING


def test_a_name_without_its_period_is_refused() -> None:
    with pytest.raises(DropError, match="does not name its period"):
        match("bills_october.csv", MONTHLY)


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
