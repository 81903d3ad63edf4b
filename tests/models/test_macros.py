"""The project's macros against published values and reference libraries."""

import random
from datetime import UTC, date, datetime
from decimal import Decimal
from itertools import permutations
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from tests.models.conftest import EmptyBuild
from tests.models.project import PROJECT

#: ISO 8601: week 1 holds the year's first Thursday (4 January). Year ends at which calendar year
#: and week year part; the values follow from the rule.
ISO_WEEKS = {
    "2004-12-31": "2004-W53", "2005-01-01": "2004-W53", "2005-12-31": "2005-W52",
    "2006-01-01": "2005-W52", "2006-01-02": "2006-W01", "2007-12-31": "2008-W01",
    "2008-12-28": "2008-W52", "2008-12-29": "2009-W01", "2009-12-31": "2009-W53",
    "2010-01-03": "2009-W53", "2015-12-31": "2015-W53", "2018-12-31": "2019-W01",
    "2019-12-30": "2020-W01", "2020-12-31": "2020-W53", "2021-01-03": "2020-W53",
    "2021-01-04": "2021-W01", "2024-12-30": "2025-W01", "2025-12-29": "2026-W01",
    "2026-12-31": "2026-W53", "2027-01-03": "2026-W53",
}  # fmt: skip

#: Wall times on the days of a clock change and the hours that pass between them: the night when
#: clocks go back has one hour more than they show, the night when they go forward one less.
#: Days of change from the IANA zone database; the zone library is asked as well.
CLOCK_CHANGES = [
    ("America/Chicago", "2026-11-01 00:30", "2026-11-01 03:30", 4.0),
    ("America/Chicago", "2026-03-08 01:30", "2026-03-08 03:30", 1.0),
    ("America/Denver", "2026-11-01 00:30", "2026-11-01 03:30", 4.0),
    ("America/New_York", "2024-11-03 00:30", "2024-11-03 03:30", 4.0),
    ("America/New_York", "2024-03-10 01:30", "2024-03-10 03:30", 1.0),
    ("America/Phoenix", "2026-11-01 00:30", "2026-11-01 03:30", 3.0),
]


def _utc(wall: str, zone: str) -> datetime:
    local = datetime.fromisoformat(wall).replace(tzinfo=ZoneInfo(zone))
    return local.astimezone(UTC).replace(tzinfo=None)


def test_iso_weeks_at_year_ends(empty_build: EmptyBuild) -> None:
    listed = ", ".join(f"(date '{day}')" for day in ISO_WEEKS)
    rows = empty_build.rows(
        "select days.day, {{ iso_week_label('days.day') }}, {{ iso_week_monday('days.day') }}"
        f" from (values {listed}) as days (day)",
    )
    assert {str(day): label for day, label, _ in rows} == ISO_WEEKS
    for day, label, monday in rows:
        year, week, _ = day.isocalendar()
        assert (label, monday) == (f"{year}-W{week:02}", date.fromisocalendar(year, week, 1))


def test_elapsed_hours_across_both_clock_changes(empty_build: EmptyBuild) -> None:
    selects = " union all ".join(
        f"select {i} as n, {{{{ elapsed_hours("
        f"utc_of_local(\"timestamp '{begun}:00'\", \"'{zone}'\"), "
        f"utc_of_local(\"timestamp '{ended}:00'\", \"'{zone}'\")) }}}}"
        for i, (zone, begun, ended, _) in enumerate(CLOCK_CHANGES)
    )
    rows = dict(empty_build.rows(selects))
    for i, (zone, begun, ended, hours) in enumerate(CLOCK_CHANGES):
        assert rows[i] == pytest.approx(hours)
        assert (_utc(ended, zone) - _utc(begun, zone)).total_seconds() == hours * 3600


def test_wall_time_that_came_twice_is_the_earlier_instant(empty_build: EmptyBuild) -> None:
    """As zoneinfo reads it with fold 0 (PEP 495)."""
    walls = [
        ("America/Chicago", "2026-11-01 01:30"),
        ("Australia/Lord_Howe", "2026-04-05 01:45"),
        ("America/Chicago", "2026-03-08 03:30"),
        ("Europe/London", "2026-10-25 00:59"),
    ]
    for zone, wall in walls:
        macro = f"utc_of_local(\"timestamp '{wall}:00'\", \"'{zone}'\")"
        assert empty_build.rows(f"select {{{{ {macro} }}}}") == [(_utc(wall, zone),)]


def test_a_figure_that_broke_a_limit_never_reads_as_if_it_had_not(empty_build: EmptyBuild) -> None:
    """48 h 3 min is 48.05 h, which binary doubles hold as less: what is printed decides."""
    said = {
        ("172860 / 3600.0", 48): "just over 48",
        ("172980 / 3600.0", 48): "48.1",
        ("172740 / 3600.0", 48): "just under 48",
        ("172500 / 3600.0", 48): "47.9",
        ("172620 / 3600.0", 48): "just under 48",
        ("36.52", 36.5): "just over 36.5",
        ("36.48", 36.5): "just under 36.5",
        ("48.0", 48): "48.0",
        ("1e15", 48): "an absurd amount",
    }
    selects = ", ".join(
        f"{{{{ measured_text('cast({measured} as double)', '{limit}') }}}}"
        for measured, limit in said
    )
    assert empty_build.rows(f"select {selects}") == [tuple(said.values())]


def test_elapsed_time_does_not_count_boundaries(empty_build: EmptyBuild) -> None:
    begun, ended = "timestamp '2026-06-01 10:59:30'", "timestamp '2026-06-01 11:01:00'"
    rows = empty_build.rows(
        f'select {{{{ elapsed_minutes("{begun}", "{ended}") }}}},'
        f' {{{{ elapsed_hours("{ended}", "{begun}") }}}},'
        f' {{{{ add_hours("{begun}", "1.5") }}}},'
        f' {{{{ add_hours("{begun}", "99999999999999") }}}} > {ended}',
    )
    assert rows == [(1.5, -0.025, datetime(2026, 6, 1, 12, 29, 30), True)]


def test_local_dates_are_those_of_the_place(empty_build: EmptyBuild) -> None:
    instant = "timestamp '2026-11-02 06:30:00'"
    rows = empty_build.rows(
        f'select {{{{ local_date("{instant}", "\'America/Chicago\'") }}}},'
        f' {{{{ local_date("{instant}", "\'America/Denver\'") }}}}',
    )
    assert rows == [(date(2026, 11, 2), date(2026, 11, 1))]


def test_quantiles_are_numpys_linear_ones(empty_build: EmptyBuild) -> None:
    """Definition 7 of Hyndman and Fan (1996), which numpy calls "linear"."""
    numbers = random.Random(453)
    fractions = (0.0, 0.1, 0.5, 0.9, 1.0)
    samples = [
        [numbers.randrange(0, 100_000) for _ in range(size)] for size in (1, 2, 5, 10, 11, 240)
    ]
    listed = ", ".join(
        f"({i}, cast({cents} as decimal(18, 2)) / 100)"
        for i, sample in enumerate(samples)
        for cents in sample
    )
    selects = ", ".join(f"{{{{ quantile('listed.x', {f}) }}}}" for f in fractions)
    rows = empty_build.rows(
        f"select listed.i, {selects} from (values {listed}) as listed (i, x) group by 1 order by 1"
    )
    assert len(rows) == len(samples)
    for (_, *found), sample in zip(rows, samples, strict=True):
        expected = np.quantile(np.array(sample) / 100, fractions, method="linear")
        assert found == pytest.approx(list(expected))


def test_the_median_of_decimals_is_not_rounded_to_their_scale(empty_build: EmptyBuild) -> None:
    rows = empty_build.rows(
        "select {{ quantile('listed.x', 0.5) }} from (values (cast(5.07 as decimal(18, 2))),"
        " (cast(5.08 as decimal(18, 2)))) as listed (x)",
    )
    assert rows[0][0] == pytest.approx(5.075)


def test_hash_keys_tell_columns_and_blanks_apart(empty_build: EmptyBuild) -> None:
    keys = [["'ab'", "'c'"], ["'a'", "'bc'"], ["'abc'", "null"], ["'abc'", "''"], ["null", "'abc'"]]
    selects = ", ".join(f"{{{{ hash_key({key}) }}}}" for key in keys)
    rows = empty_build.rows(f"select {selects}")
    assert len(set(rows[0])) == len(keys)
    assert all(len(key) == 32 for key in rows[0])


def test_the_newest_value_is_carried_forward(empty_build: EmptyBuild) -> None:
    window = "partition by listed.k order by listed.n"
    rows = empty_build.rows(
        f"select listed.n, {{{{ carried_forward('listed.v', '{window}') }}}},"
        f" {{{{ carried_forward('listed.v', '{window}', '1 preceding') }}}}"
        " from (values ('a', 1, null), ('a', 2, 'x'), ('a', 3, null), ('a', 4, 'y'),"
        " ('b', 5, null)) as listed (k, n, v) order by 1",
    )
    assert rows == [
        (1, None, None), (2, "x", None), (3, "x", "x"), (4, "y", "x"), (5, None, None),
    ]  # fmt: skip


def test_no_model_reads_a_clock() -> None:
    clocks = (
        "current_timestamp", "now()", "current_date", "localtimestamp", "date_diff", "datediff",
    )  # fmt: skip
    used = {
        f"{path.parent.name}/{path.name}": word
        for path in PROJECT.rglob("*.sql")
        for word in clocks
        if word in _code(path)
    }
    assert used == {}


def _code(path: Path) -> str:
    """A file's SQL without its comments."""
    lines = path.read_text(encoding="utf-8").lower()
    while "{#" in lines:
        begun, ended = lines.index("{#"), lines.index("#}") + 2
        lines = lines[:begun] + lines[ended:]
    return "\n".join(line.split("--")[0] for line in lines.splitlines())


def test_what_rounds_to_nothing_has_no_sign(empty_build: EmptyBuild) -> None:
    """A sum that is added in another order may end a hair on the other side of zero."""
    values = ["-0.00000000000001", "0.00000000000001", "0", "-1.00000000000001", "null"]
    (row,) = empty_build.rows(
        "select " + ", ".join(f"{{{{ settled('cast({v} as double)') }}}}" for v in values)
    )
    assert [str(value) for value in row] == ["0.0", "0.0", "0.0", "-1.0", "None"]


def test_a_mean_of_settled_figures_is_one_in_any_order(empty_build: EmptyBuild) -> None:
    """Exact arithmetic gives it: a sum of doubles is another in another order, and the mean of an
    even number of figures of nine decimals lies on the border between two of them."""
    figures = [Decimal(text) for text in ("0.1", "0.2", "0.3", "1000000.000000001")]
    expected = float(sum(figures)) / len(figures)
    for order in permutations(figures):
        listed = ", ".join(f"(cast('{figure}' as double))" for figure in order)
        ((mean,),) = empty_build.rows(
            f"select {{{{ settled_mean('figure') }}}} from (values {listed}) as given (figure)"
        )
        assert mean == expected
    ((none,),) = empty_build.rows(
        "select {{ settled_mean('figure') }} from (select 1.5 as figure) as given where figure > 2"
    )
    assert none is None


def test_quantities_and_prices_are_written_as_a_clerk_writes_them(empty_build: EmptyBuild) -> None:
    """Zeros at the end of a count are no figures of it; a price has its cents, a rate its mills.

    What its column could not hold is empty and has words, so that no sentence is lost with it.
    """
    values = ["8", "8.5", "59.3106", "0", "-2", "100", "null"]
    casts = [f"cast({value} as decimal(18, 4))" for value in values]
    macros = ("quantity_text", "price_text")
    sql = ", ".join(f"{{{{ {macro}('{cast}') }}}}" for macro in macros for cast in casts)
    (row,) = empty_build.rows(f"select {sql}")
    assert row[:7] == ("8", "8.5", "59.3106", "0", "-2", "100", "an absurd amount")
    assert row[7:] == ("8.00", "8.50", "59.3106", "0.00", "-2.00", "100.00", "an absurd amount")
