"""Which of two exports is the later, and which of two files is the same."""

from pipelines.sources import Settings
from tests.pipelines.bills import BILLS, FULL, MONTHLY, bill_line, bill_settings, counting, take
from tests.pipelines.conftest import Bench


def test_the_same_bytes_exported_later_are_the_later_export(bench: Bench) -> None:
    bench.write("bills_2026-11-08.csv", BILLS + bill_line(1, "2026-09-30", "2.00"))
    bench.write("bills_2026-11-15.csv", BILLS + bill_line(1, "2026-09-30"))
    take(bench, FULL)
    bench.write("bills_2026-11-01.csv", BILLS + bill_line(1, "2026-09-30"))
    bench.write("bills_2026-11-22.csv", BILLS + bill_line(1, "2026-09-30", "2.00"))
    take(bench, FULL)
    assert bench.rows("select line_total::varchar from accepted.supplier_bill_lines") == [("2.00",)]
    assert bench.rows("select file_name from raw.files order by 1") == [
        ("bills_2026-11-15.csv",),
        ("bills_2026-11-22.csv",),
    ]


def test_an_undated_file_exported_again_with_a_date_is_the_later_export(bench: Bench) -> None:
    bench.write("bills_a.csv", BILLS + bill_line(1, "2026-09-30"))
    take(bench, FULL)
    bench.write("bills_2026-11-20.csv", BILLS + bill_line(1, "2026-09-30", "2.00"))
    bench.write("bills_2026-12-01.csv", BILLS + bill_line(1, "2026-09-30"))
    take(bench, FULL)
    assert bench.rows("select line_total::varchar from accepted.supplier_bill_lines") == [("1.00",)]


def test_a_date_that_the_settings_learn_to_read_counts_for_files_already_read(
    bench: Bench,
) -> None:
    bench.write("bills_08112026.csv", BILLS + bill_line(1, "2026-09-30", "2.00"))
    bench.write("bills_15102026.csv", BILLS + bill_line(1, "2026-09-30"))
    take(bench, FULL)
    assert [row[0] for row in bench.rows("select rule_code from quality.rejects")] == [
        "key_with_two_contents"
    ] * 2
    take(bench, bill_settings(slice="full", exported="%d%m%Y"))
    assert bench.rows("select line_total::varchar from accepted.supplier_bill_lines") == [("2.00",)]
    assert bench.rows("select * from quality.rejects") == []


def test_a_day_without_hyphens_orders_exports_as_one_with_them(bench: Bench) -> None:
    bench.write("bills_2026-11-05.csv", BILLS + bill_line(1, "2026-09-30", "2.00"))
    bench.write("bills_20261104.csv", BILLS + bill_line(1, "2026-09-30"))
    take(bench, FULL)
    assert bench.rows("select line_total::varchar from accepted.supplier_bill_lines") == [("2.00",)]


def test_a_file_read_anew_under_other_settings_is_no_younger_than_it_was(bench: Bench) -> None:
    older = bench.write("bills_a.csv", BILLS + bill_line(1, "2026-09-30"))
    take(bench, FULL)
    older.unlink()
    bench.con.execute("update raw.files set loaded_at = loaded_at - interval 1 day")
    newer = bench.write("bills_b.csv", BILLS + bill_line(1, "2026-09-30", "2.00"))
    take(bench, FULL)
    newer.unlink()
    older.write_text(BILLS + bill_line(1, "2026-09-30"))
    take(bench, bill_settings(slice="full", delimiter="comma"))
    assert bench.rows("select line_total::varchar from accepted.supplier_bill_lines") == [("2.00",)]


def test_the_empty_file_of_a_month_is_not_that_of_the_next(bench: Bench) -> None:
    bench.write("bills_2026-10_on_2026-11-01.csv", BILLS + bill_line(1, "2026-10-02"))
    bench.write("bills_2026-11_on_2026-11-01.csv", BILLS + bill_line(2, "2026-11-01"))
    bench.write("bills_2026-10_on_2026-11-05.csv", BILLS)
    take(bench, MONTHLY)
    assert counting(bench) == [2]
    bench.write("bills_2026-11_on_2026-12-05.csv", BILLS)
    take(bench, MONTHLY)
    assert counting(bench) == []


def test_the_empty_file_of_a_source_is_not_that_of_another(bench: Bench) -> None:
    both = {
        source: {"feeds": {"supplier_bill_lines": {"files": [f"{source}_*"], "slice": "full"}}}
        for source in ("north", "south")
    }
    for number, source in enumerate(both):
        bench.write(f"{source}_2026-11-01.csv", BILLS + bill_line(number, "2026-10-02"))
        bench.write(f"{source}_2026-11-02.csv", BILLS)
    take(bench, Settings.model_validate({"sources": both}))
    assert counting(bench) == []
    assert len(bench.rows("select * from raw.files")) == 4


def test_an_empty_file_that_was_set_aside_is_read_once_its_layout_is_known(bench: Bench) -> None:
    bench.write("bills_2026-11-01.csv", "Bills of the month\n" + BILLS)
    take(bench, FULL)
    take(bench, bill_settings(slice="full", lines_above_header=1))
    assert bench.rows("select set_aside from raw.files") == [(None,)]
