"""The largest figures that the reader takes, in every column of figures at once, end no run."""

import csv
import io
import shutil
from datetime import UTC, datetime
from pathlib import Path

import duckdb

from pipelines.command.demo import DROP
from pipelines.feeds import FEEDS
from pipelines.run.pipeline import RunRequest, run_pipeline

_EXPORTED = "-2026-11-16.csv"
#: Lines whose total is quantity times price: the largest of each that still multiply.
_LINES = (("9999999", "9", "89999991.00"), ("99", "999999", "98999901.00"))


def test_the_largest_figures_of_every_feed_end_no_run(tmp_path: Path) -> None:
    drop = Path(shutil.copytree(DROP, tmp_path / "drop"))
    for path in sorted(drop.glob(f"*{_EXPORTED}")):
        _enlarge(path, path.name.removesuffix(_EXPORTED))
    warehouse = tmp_path / "warehouse.duckdb"
    run_pipeline(RunRequest(drop, warehouse, None, datetime(2026, 11, 16, 12, tzinfo=UTC)))
    with duckdb.connect(str(warehouse), read_only=True) as con:
        largest = con.execute(
            "select max(quantity), max(unit_price), max(line_total) from accepted.statement_lines"
        ).fetchall()[0]
        told = con.execute("select count(*) from marts.findings where detail is null").fetchall()
    assert [str(value) for value in largest] == ["9999999.0000", "999999.0000", "98999901.00"]
    assert told == [(0,)]


def _enlarge(path: Path, feed: str) -> None:
    """Each figure of every thirtieth record, another column in each, is as large as it can be."""
    text = path.read_text(encoding="utf-8", errors="surrogateescape")
    head, *records = csv.reader(io.StringIO(text))
    figures = {c.name: str(c.below - 1) for c in FEEDS[feed].columns if c.below is not None}
    places = [i for i, name in enumerate(head) if name in figures and name != "line_number"]
    price = next((n for n in ("unit_price", "unit_cost") if n in head), "")
    for number, record in enumerate(records):
        if number % 30 or len(record) != len(head) or not places:
            continue
        if "line_total" in head:
            line = _LINES[number // 30 % len(_LINES)]
            for name, figure in zip(("quantity", price, "line_total"), line, strict=True):
                record[head.index(name)] = figure
        else:
            place = places[number // 30 % len(places)]
            record[place] = figures[head[place]]
    changed = io.StringIO()
    csv.writer(changed, lineterminator="\n").writerows([head, *records])
    path.write_text(changed.getvalue(), encoding="utf-8", errors="surrogateescape", newline="")
