"""A finding keeps its number, is closed by a record, and is answered with an end."""

import csv
import shutil
from datetime import UTC, datetime
from pathlib import Path

import duckdb
import pytest

from pipelines.command.demo import DROP
from pipelines.run.pipeline import RunRequest, run_pipeline
from tests.conftest import DemoRun

NEXT_DAY = datetime(2026, 11, 17, 12, tzinfo=UTC)
LATER = datetime(2026, 11, 18, 12, tzinfo=UTC)
ANSWER = "finding_number,decision,decided_by,decided_on,reason,expires_on\n"


def _case_row(case: str, **changes: str) -> str:
    with (DROP / "cases-2026-11-16.csv").open(encoding="utf-8", newline="") as stream:
        reader = csv.DictReader(stream)
        (row,) = (row for row in reader if row["case_number"] == case)
        names = reader.fieldnames or []
    values = (row | changes).values()
    return ",".join(names) + "\n" + ",".join(f'"{value}"' for value in values) + "\n"


def _rows(warehouse: Path, query: str) -> list[tuple[object, ...]]:
    with duckdb.connect(str(warehouse), read_only=True) as con:
        return con.execute(query).fetchall()


def _run(tmp: Path, warehouse: Path, as_of: datetime, **files: str) -> None:
    drop = tmp / f"drop-{as_of:%d}"
    drop.mkdir()
    for name, text in files.items():
        (drop / f"{name}-{as_of:%Y-%m-%d}.csv").write_text(text, encoding="utf-8")
    run_pipeline(RunRequest(drop, warehouse, None, as_of))


@pytest.fixture(scope="module")
def lived(demo_run: DemoRun, tmp_path_factory) -> tuple[Path, dict[str, int], str]:
    """The demo's warehouse, then a day on which one finding is mended and two are answered, then a
    day on which nothing comes. Gives the warehouse, numbers by use, and the case."""
    tmp = tmp_path_factory.mktemp("lived")
    warehouse = tmp / "warehouse.duckdb"
    shutil.copy(demo_run.warehouse, warehouse)
    (mended, case), *_ = _rows(
        warehouse,
        "select finding_number, case_number from marts.findings where rule_code = 'permit_missing'",
    )
    others = [
        number
        for (number,) in _rows(
            warehouse,
            "select finding_number from marts.findings where rule_code in "
            "('permit_late', 'sex_contradicts', 'band_on_two_people') order by rule_code",
        )
    ]
    numbers = {"mended": mended, "stands": others[0], "ends": others[1]}
    _run(
        tmp, warehouse, NEXT_DAY,
        cases=_case_row(case, permit_number="P-1", permit_issued_at="2026-05-01T09:00-05:00"),
        finding_answers=ANSWER
        + f"{numbers['stands']},explained,officer,2026-11-17,Seen on paper,2026-12-31\n"
        + f"{numbers['ends']},accepted,officer,2026-11-17,Known,2026-11-17\n"
        + "99999,accepted,officer,2026-11-17,Typed wrong,2026-12-31\n",
    )  # fmt: skip
    shutil.copy(warehouse, tmp / "next_day.duckdb")
    _run(tmp, warehouse, LATER, locations=(DROP / "locations-2026-11-16.csv").read_text() + "\n")
    return warehouse, numbers, case


def _next_day(warehouse: Path) -> Path:
    return warehouse.with_name("next_day.duckdb")


def test_findings_keep_their_numbers_from_run_to_run(
    lived: tuple[Path, dict[str, int], str], demo_run: DemoRun
) -> None:
    numbered = "select finding_key, finding_number, first_seen_at from marts.findings"
    before = {key: rest for key, *rest in _rows(demo_run.warehouse, numbered)}
    after = {key: rest for key, *rest in _rows(lived[0], numbered)}
    same = before.keys() & after.keys()
    assert len(same) > 50
    assert {key: after[key] for key in same} == {key: before[key] for key in same}
    numbers = [number for number, _ in after.values()]
    assert len(set(numbers)) == len(numbers)


def test_a_mended_finding_closes_and_names_the_record_and_columns(
    lived: tuple[Path, dict[str, int], str],
) -> None:
    warehouse, numbers, _ = lived
    assert _rows(
        _next_day(warehouse),
        "select closed_by from marts.finding_changes where change_kind = 'closed' "
        f"and finding_number = {numbers['mended']}",
    ) == [("cases-2026-11-17.csv line 2 (permit_issued_at, permit_number)",)]
    assert _rows(
        warehouse,
        "select closed_at, closed_by, last_seen_at from quality.finding_history "
        f"where finding_number = {numbers['mended']}",
    ) == [
        (
            NEXT_DAY.replace(tzinfo=None),
            "cases-2026-11-17.csv line 2 (permit_issued_at, permit_number)",
            datetime(2026, 11, 16, 12),
        )
    ]
    assert (
        _rows(
            warehouse,
            f"select 1 from marts.finding_changes where finding_number = {numbers['mended']}",
        )
        == []
    )


def test_an_answer_stands_to_its_last_day_and_then_the_finding_is_open_again(
    lived: tuple[Path, dict[str, int], str],
) -> None:
    warehouse, numbers, _ = lived
    state = "select answer_state from marts.findings where finding_number = "
    assert _rows(_next_day(warehouse), state + str(numbers["ends"])) == [("answered",)]
    assert _rows(warehouse, state + str(numbers["ends"])) == [("answer expired",)]
    assert _rows(warehouse, state + str(numbers["stands"])) == [("answered",)]


def test_an_answer_to_no_finding_says_so(lived: tuple[Path, dict[str, int], str]) -> None:
    assert _rows(
        lived[0], "select answer_state from marts.finding_answers where finding_number = 99999"
    ) == [("no such finding",)]


def test_a_figure_of_an_earlier_week_that_changed_is_told_with_the_record_that_did_it(
    lived: tuple[Path, dict[str, int], str],
) -> None:
    """The permit that came later gives one more case to the week in which the person was buried.

    (On that day a correction of the demo ended too, and took its case out of other weeks.)
    """
    warehouse, _, case = lived
    told = _rows(
        _next_day(warehouse),
        "select location_id, finished_count - was_finished_count, why from marts.figure_changes "
        "where finished_count > was_finished_count order by location_id",
    )
    home = _rows(warehouse, f"select location_id from accepted.cases where case_number = '{case}'")
    why = f"newer records of {case}"
    assert told == [("(group)", 1, why), (home[0][0], 1, why)]
    assert _rows(warehouse, "from marts.figure_changes") == []
