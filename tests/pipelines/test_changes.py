"""What changed between exports, and that the order in which files arrive does not matter."""

import itertools
from pathlib import Path

import duckdb
import pytest

from pipelines.feeds import FEEDS
from pipelines.load import create_schemas, find_files, load_drop
from pipelines.load.versions import rank_versions
from validation.parse import parse_feed

from .conftest import LOADED_AT, Bench

CHANGES = (
    "select record_key, column_name, was, becomes, kind, touches, older_line, newer_line "
    "from quality.changes order by changed_at, record_key, column_name"
)
HEADER = "item_code,description,item_kind,unit,list_cost\n"


def test_each_field_that_changed_is_told_with_both_lines(bench: Bench) -> None:
    bench.write("supply_items-2026-11-15.csv",
                HEADER + "A,Urn,urn,each,10.00\nB,Casket,casket,each,\n")  # fmt: skip
    bench.write("supply_items-2026-11-16.csv",
                HEADER + "B,Oak casket,casket,each,900.00\nA,Urn,urn,each,10.00\n")  # fmt: skip
    bench.parse()
    assert bench.rows(CHANGES) == [
        ("B", "description", "Casket", "Oak casket", "changed", None, 3, 2),
        ("B", "list_cost", None, "900.00", "filled", None, 3, 2),
    ]


def test_a_column_no_longer_exported_is_not_called_cleared(bench: Bench) -> None:
    bench.write("supply_items-2026-11-15.csv", HEADER + "A,Urn,urn,each,10.00\n")
    bench.write("supply_items-2026-11-16.csv",
                "item_code,description,item_kind,unit\nA,Urn,urn,each\n")  # fmt: skip
    bench.write("supply_items-2026-11-17.csv", HEADER + "A,,urn,each,\n")
    bench.parse()
    assert bench.rows(CHANGES) == [
        ("A", "list_cost", "10.00", None, "not_exported", None, 2, 2),
        ("A", "description", "Urn", None, "cleared", None, 2, 2),
    ]


@pytest.mark.parametrize(
    ("feed", "change", "touches"),
    [
        ("custody_events", {"place_id": "hospital:OTHER"}, "past custody event"),
        ("statement_lines", {"document_kind": "invoice", "line_total": "1.00"}, "issued invoice"),
        ("statement_lines", {"document_kind": "estimate", "line_total": "1.00"}, None),
    ],
)
def test_a_change_of_what_was_past_or_issued_says_so(
    bench: Bench, feed: str, change: dict[str, str], touches: str | None
) -> None:
    before = {name: value for name, value in change.items() if name == "document_kind"}
    bench.feed_file(feed, before, name=f"{feed}-2026-11-15.csv")
    bench.feed_file(feed, change, name=f"{feed}-2026-11-16.csv")
    bench.parse()
    assert [row[5] for row in bench.rows(CHANGES)] == [touches]


def test_every_order_of_the_same_files_ends_in_the_same_warehouse(tmp_path: Path) -> None:
    """Overlapping exports, a re-sent one, a corrected row, a late row, an empty export."""
    texts = {
        "supply_items-2026-11-14.csv": HEADER + "A,Urn,urn,each,10.00\nB,Casket,casket,each,\n",
        "supply_items-2026-11-15.csv": HEADER + "B,Casket,casket,each,900.00\nC,Dye,dye,ml,2\n",
        "supply_items-2026-11-16.csv": HEADER + "A,Urn,urn,each,12.00\nB,Casket,casket,each,\n",
        "supply_items-2026-11-17.csv": HEADER,
    }
    outcomes = set()
    for order in itertools.permutations(texts):
        with duckdb.connect(":memory:") as con:
            create_schemas(con)
            for place, name in enumerate([*order, order[0]]):
                drop = tmp_path / f"{'-'.join(order)}-{place}"
                drop.mkdir(exist_ok=True)
                (drop / name).write_text(texts[name])
                load_drop(con, find_files(drop), LOADED_AT)
            rank_versions(con, FEEDS["supply_items"])
            parse_feed(con, FEEDS["supply_items"])
            outcomes.add(
                tuple(
                    repr(con.execute(f"select * from {table} order by all").fetchall())
                    for table in ("accepted.supply_items", "quality.changes", "quality.outdated",
                                  "quality.rejects")
                )
            )  # fmt: skip
    assert len(outcomes) == 1
    assert "12.00" in next(iter(outcomes))[0]
