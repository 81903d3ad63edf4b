"""What a file speaks for, by its name."""

from datetime import date, timedelta

import pytest

from pipelines.errors import DropError
from pipelines.sources.match import EVERYTHING, Slice, match, slice_of
from tests.pipelines.bills import FULL, MONTHLY, bill_settings


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
    settings = bill_settings(slice="period", period=pattern)
    assert slice_of(name, settings, "stock", "supplier_bill_lines") == slice_
    at = match(name, settings).exported_at
    assert (at.date() if at else None) == exported


@pytest.mark.parametrize("month", ["12-2026", "05-2026"])
def test_the_day_of_an_export_is_no_second_month(month: str) -> None:
    settings = bill_settings(slice="period", period="%m-%Y", exported="%d-%m-%Y")
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
    settings = bill_settings(slice="period", period=period)
    assert slice_of(name, settings, "stock", "supplier_bill_lines") is None


def test_a_full_file_needs_no_period_in_its_name() -> None:
    assert slice_of("bills_x.csv", FULL, "stock", "supplier_bill_lines") == EVERYTHING


def test_a_name_without_its_period_is_refused() -> None:
    with pytest.raises(DropError, match="does not name its period"):
        match("bills_october.csv", MONTHLY)
