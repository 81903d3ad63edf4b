"""How much may vanish without being confirmed: a share of what was held before."""

import pytest

from pipelines.errors import DropError
from tests.pipelines.bills import BILLS, FULL, MONTHLY, bill_line, counting, take
from tests.pipelines.conftest import Bench


def test_an_empty_full_export_waits_for_confirmation_and_is_asked_once(bench: Bench) -> None:
    bench.write(
        "bills_2026-11-01.csv", BILLS + bill_line(1, "2026-09-30") + bill_line(2, "2026-10-02")
    )
    take(bench, FULL, is_confirmed=False)
    bench.write("bills_2026-11-08.csv", BILLS)
    with pytest.raises(
        DropError, match=r"(?s)bills_2026-11-08.csv: 2 of 2 .* --confirm"
    ) as refused:
        take(bench, FULL, is_confirmed=False)
    assert refused.value.exit_code == 2
    take(bench, FULL, is_confirmed=True)
    assert counting(bench) == []
    take(bench, FULL, is_confirmed=False)


def test_as_many_may_vanish_as_the_group_says(bench: Bench) -> None:
    lines = [bill_line(n, "2026-10-02") for n in range(1, 21)]
    bench.write("bills_2026-11-01.csv", BILLS + "".join(lines))
    bench.write("bills_2026-11-08.csv", BILLS + "".join(lines[1:]))
    take(bench, FULL, is_confirmed=False)  # one of twenty: 5 %, not more
    bench.write("bills_2026-11-15.csv", BILLS + "".join(lines[3:]))
    with pytest.raises(DropError, match="2 of 19"):
        take(bench, FULL, is_confirmed=False)


def test_what_an_export_brings_for_the_first_time_does_not_hide_what_it_leaves_out(
    bench: Bench,
) -> None:
    bench.write(
        "bills_2026-11-01.csv", BILLS + "".join(bill_line(n, "2026-10-02") for n in range(5))
    )
    take(bench, FULL, is_confirmed=False)
    new = "".join(bill_line(n, "2026-10-02") for n in range(5, 205))
    bench.write("bills_2026-11-08.csv", BILLS + new)
    with pytest.raises(DropError, match="5 of 5 supplier_bill_lines"):
        take(bench, FULL, is_confirmed=False)


def test_what_changes_or_stays_was_held_before_and_what_is_new_was_not(bench: Bench) -> None:
    lines = [bill_line(n, "2026-10-02") for n in range(7)]
    bench.write("bills_2026-11-01.csv", BILLS + "".join(lines))
    take(bench, FULL, is_confirmed=False)
    changed = bill_line(2, "2026-10-02", "2.00")
    added = "".join(bill_line(n, "2026-10-02") for n in range(7, 10))
    bench.write("bills_2026-11-08.csv", BILLS + changed + "".join(lines[3:]) + added)
    with pytest.raises(DropError, match="2 of 7 supplier_bill_lines"):
        take(bench, FULL, is_confirmed=False)


def test_of_two_exports_in_one_drop_each_is_measured_by_what_was_held_before_it(
    bench: Bench,
) -> None:
    lines = [bill_line(n, "2026-10-02") for n in range(40)]
    bench.write("bills_2026-11-01.csv", BILLS + "".join(lines[:2]))
    bench.write("bills_2026-11-08.csv", BILLS + "".join(lines[2:]))
    bench.write("bills_2026-11-15.csv", BILLS + "".join(lines[3:]))
    with pytest.raises(DropError) as refused:
        take(bench, FULL, is_confirmed=False)
    assert "bills_2026-11-08.csv: 2 of 2" in str(refused.value)
    assert "bills_2026-11-15.csv" not in str(refused.value)  # 1 of 38


def test_a_month_is_measured_by_itself(bench: Bench) -> None:
    september = "".join(bill_line(n, "2026-09-02") for n in range(100))
    october = [bill_line(n, "2026-10-02") for n in range(100, 104)]
    bench.write("bills_2026-09_on_2026-10-01.csv", BILLS + september)
    bench.write("bills_2026-10_on_2026-11-01.csv", BILLS + "".join(october))
    take(bench, MONTHLY, is_confirmed=False)
    bench.write("bills_2026-10_on_2026-11-08.csv", BILLS + "".join(october[1:]))
    with pytest.raises(DropError, match="1 of 4 supplier_bill_lines"):
        take(bench, MONTHLY, is_confirmed=False)
