"""Which record of a key counts when it comes more than once."""

from tests.pipelines.conftest import Bench


def _fates(bench: Bench) -> list[tuple[object, ...]]:
    return bench.rows(
        "select f.file_name, o.line, o.fate from quality.outdated o "
        "join raw.files f using (file_id) order by 1, 2"
    )


def _accepted(bench: Bench) -> list[tuple[object, ...]]:
    return bench.rows("select item_code, description from accepted.supply_items order by 1, 2")


def test_newer_export_replaces_the_older_whatever_the_order_of_names(bench: Bench) -> None:
    bench.feed_file("supply_items", {"item_code": "A", "description": "new"},
                    name="supply_items-a-2026-11-16.csv")  # fmt: skip
    bench.feed_file("supply_items", {"item_code": "A", "description": "old"},
                    name="supply_items-b-2026-11-09.csv")  # fmt: skip
    bench.parse()
    assert _accepted(bench) == [("A", "new")]
    assert _fates(bench) == [("supply_items-b-2026-11-09.csv", 2, "replaced")]


def test_same_record_twice_counts_once(bench: Bench) -> None:
    bench.feed_file("supply_items", {"item_code": "A"}, {"item_code": "A"})
    bench.parse()
    assert len(_accepted(bench)) == 1
    assert _fates(bench) == [("supply_items-2026-11-16.csv", 3, "repeated")]


def test_one_key_with_two_contents_is_held_back_on_both_lines(bench: Bench) -> None:
    bench.feed_file("supply_items", {"item_code": "A", "description": "one"},
                    {"item_code": "A", "description": "two"}, {"item_code": "B"})  # fmt: skip
    bench.parse()
    assert bench.rows("select rule_code, line, record_key from quality.rejects order by line") == [
        ("key_with_two_contents", 2, "A"),
        ("key_with_two_contents", 3, "A"),
    ]
    assert _fates(bench) == []


def test_account_of_records_closes_over_two_exports(bench: Bench) -> None:
    bench.feed_file("supply_items", {"item_code": "A"}, {"item_code": "B"},
                    name="supply_items-2026-11-09.csv")  # fmt: skip
    bench.feed_file("supply_items", {"item_code": "A", "description": "new"}, {"item_code": "B"},
                    name="supply_items-2026-11-16.csv")  # fmt: skip
    bench.parse()
    assert bench.rows(
        "select file_name, records_read, accepted, held_back, repeated, replaced, unreadable "
        "from quality.file_accounts order by file_name"
    ) == [
        ("supply_items-2026-11-09.csv", 2, 0, 0, 1, 1, 0),
        ("supply_items-2026-11-16.csv", 2, 2, 0, 0, 0, 0),
    ]
