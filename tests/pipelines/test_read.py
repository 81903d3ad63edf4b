"""Records, line numbers and the account of lines, against Python's csv as a second reader."""

import csv
import io
from pathlib import Path

import duckdb
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.feeds import FEEDS
from pipelines.load import create_schemas, find_files, load_drop
from tests.pipelines.conftest import LOADED_AT, Bench
from validation.account import account_files

HEADER = ",".join(FEEDS["supply_items"].column_names)
WIDTH = len(FEEDS["supply_items"].columns)


def _lines(bench: Bench) -> list[tuple[object, ...]]:
    return bench.rows("select line, item_code, description from raw.supply_items order by line")


def _account(bench: Bench) -> tuple[object, ...]:
    return bench.rows(
        "select total_lines, header_lines, blank_lines, record_lines, unreadable_lines, "
        "records_read, read_path from raw.files"
    )[0]


def _row(code: str, description: str = "x") -> str:
    return f"{code},{description},urn,each,,,"


def test_plain_file_is_read_the_fast_way_with_editor_line_numbers(bench: Bench) -> None:
    bench.write("supply_items.csv", f"{HEADER}\n{_row('A')}\n{_row('B')}\n")
    bench.load()
    assert _lines(bench) == [(2, "A", "x"), (3, "B", "x")]
    assert _account(bench) == (3, 1, 0, 2, 0, 2, "fast")


def test_quoted_line_breaks_shift_the_lines_after_them(bench: Bench) -> None:
    broken = _row("A", '"one\ntwo"')
    bench.write("supply_items.csv", f"{HEADER}\n{broken}\n{_row('B')}\n")
    bench.load()
    assert _lines(bench) == [(2, "A", "one\ntwo"), (4, "B", "x")]
    assert _account(bench) == (4, 1, 0, 3, 0, 2, "fast")


def test_blank_lines_in_the_middle_take_the_exact_way(bench: Bench) -> None:
    bench.write("supply_items.csv", f"{HEADER}\n{_row('A')}\n\n,,,,,,\n{_row('B')}\n\n")
    bench.load()
    assert _lines(bench) == [(2, "A", "x"), (5, "B", "x")]
    assert _account(bench) == (6, 1, 3, 2, 0, 2, "exact")


def test_rows_that_are_no_records_are_gone_from_the_fast_way_but_count_as_lines(
    bench: Bench,
) -> None:
    bench.write("supply_items-2026-11-15.csv", f"{HEADER}\n{_row('Z')}\n")
    rows = [_row("A", '"one\ntwo"'), ",,,,,,", HEADER, _row("B", '"\n"'), ",,,,,,", _row("C")]
    bench.write("supply_items-2026-11-16.csv", "\n".join([HEADER, *rows, ""]))
    bench.load()
    assert sorted(_lines(bench)) == [
        (2, "A", "one\ntwo"), (2, "Z", "x"), (6, "B", "\n"), (9, "C", "x")
    ]  # fmt: skip
    assert bench.rows(
        "select header_lines, blank_lines, record_lines, records_read, read_path from raw.files "
        "where file_name like '%16.csv'"
    ) == [(2, 2, 5, 3, "fast")]
    assert bench.rows("select line from raw.file_notes") == [(5,)]


def test_a_file_that_is_read_in_many_parts_keeps_its_order(bench: Bench) -> None:
    """Each record says its own line: 400,000 of them are several row groups, read side by side."""
    records, line = [], 2
    for i in range(400_000):
        is_broken = i % 1_000 == 999
        description = '"one\ntwo"' if is_broken else "a description of some length"
        records.append(_row(str(line), description))
        line += 1 + is_broken
    bench.write("supply_items.csv", "\n".join([HEADER, *records, ""]))
    bench.load()
    assert bench.rows(
        "select count(*), count(*) filter (item_code <> cast(line as varchar)) "
        "from raw.supply_items"
    ) == [(400_000, 0)]
    assert _account(bench)[-1] == "fast"


def test_unclosed_quote_does_not_swallow_the_rest(bench: Bench) -> None:
    bench.write("supply_items.csv", f'{HEADER}\n{_row("A")}\nB,"open,urn,each,,,\n{_row("C")}\n')
    bench.parse()
    assert _lines(bench) == [(2, "A", "x"), (4, "C", "x")]
    rejects = bench.rows("select rule_code, line, value, detail from quality.rejects "
                         "where feed = 'supply_items'")  # fmt: skip
    assert rejects == [
        ("unreadable_record", 3, 'B,"open,urn,each,,,',
         "Could not be split into the header's fields: a quote that is not closed.")
    ]  # fmt: skip


def test_short_long_and_undecodable_records_are_unreadable_not_guessed(bench: Bench) -> None:
    text = f"{HEADER}\nA,short\n{_row('B')},1,2\n".encode() + b"C,caf\xe9,urn,each,,,\n"
    bench.write("supply_items.csv", text + f"{_row('D')}\n".encode())
    bench.load()
    assert _lines(bench) == [(5, "D", "x")]
    causes = [cause for (cause,) in bench.rows("select cause from raw.unreadable order by line")]
    assert causes == ["2 fields where the header has 7", "9 fields where the header has 7",
                      "a byte that is not UTF-8 (0xE9)"]  # fmt: skip


def test_byte_order_mark_crlf_and_missing_last_newline_are_read(bench: Bench) -> None:
    text = b"\xef\xbb\xbf" + f"{HEADER}\r\n{_row('A')}\r\n{_row('B')}".encode()
    bench.write("supply_items.csv", text)
    bench.load()
    assert _lines(bench) == [(2, "A", "x"), (3, "B", "x")]
    assert _account(bench)[:6] == (3, 1, 0, 2, 0, 2)


def test_columns_are_taken_by_name_in_any_order_and_spelling(bench: Bench) -> None:
    header = "Unit;item-kind;ITEM CODE;description;colour"
    bench.write("supply_items.csv", f"{header}\neach;urn;A;x;red\n")
    summary = bench.load()
    assert summary.set_aside == {}
    assert bench.rows("select item_code, item_kind, unit, extra_fields from raw.supply_items") == [
        ("A", "urn", "each", '{"colour":"red"}')
    ]


def test_unnamed_column_is_known_by_its_place_and_by_whether_it_holds_anything(
    bench: Bench,
) -> None:
    bench.write("supply_items.csv", f"{HEADER},,\n{_row('A')},,full\n")
    bench.load()
    assert bench.rows("select extra_fields from raw.supply_items") == [
        ('{"column 8":null,"column 9":"full"}',)
    ]
    assert bench.rows(
        "select position, has_data from raw.file_columns where column_name is null order by 1"
    ) == [(7, False), (8, True)]


def test_each_of_two_files_that_cannot_be_read_is_named_though_their_bytes_are_the_same(
    bench: Bench,
) -> None:
    """Two empty files, and two under headings of no feed; again in the next drop."""
    names = ["cases.csv", "locations.csv", "supply_items-2026-11-15.csv",
             "supply_items-2026-11-16.csv"]  # fmt: skip
    for name, text in zip(names, ["", "", "x,y\n1,2\n", "x,y\n1,2\n"], strict=True):
        bench.write(name, text)
    for _ in range(2):
        assert list(bench.load().set_aside) == names
        account_files(bench.con)
        assert bench.rows(
            "select file_name, count(*) from quality.file_accounts where set_aside is not null "
            "group by 1 order by 1"
        ) == [(name, 1) for name in names]


def test_bytes_that_one_name_reads_and_another_does_not_stay_read(bench: Bench) -> None:
    items = bench.feed_file("supply_items", {})
    bench.write("supply_movements.csv", items.read_bytes())
    for _ in range(2):
        assert set(bench.load().set_aside) == {"supply_movements.csv"}
        assert bench.rows("select count(*) from raw.supply_items") == [(1,)]
    account_files(bench.con)
    assert bench.rows(
        "select file_name, records_read, set_aside is null from quality.file_accounts order by 1"
    ) == [("supply_items-2026-11-16.csv", 1, True), ("supply_movements.csv", 0, False)]


def test_file_without_a_required_column_is_set_aside_and_names_the_nearest(bench: Bench) -> None:
    bench.write("supply_items.csv", "item_cod,description,item_kind,unit\nA,x,urn,each\n")
    summary = bench.load()
    assert "item_code (nearest heading: 'item_cod')" in summary.set_aside["supply_items.csv"]
    assert _lines(bench) == []


def test_same_bytes_again_are_skipped(bench: Bench) -> None:
    bench.write("supply_items-a.csv", f"{HEADER}\n{_row('A')}\n")
    bench.write("supply_items-b.csv", f"{HEADER}\n{_row('A')}\n")
    assert bench.load().skipped == ["supply_items-b.csv"]


field = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cs",), exclude_characters="\0\r"),
    max_size=8,
)  # fmt: skip
records = st.lists(st.lists(field, min_size=WIDTH, max_size=WIDTH), min_size=1, max_size=6)


@settings(max_examples=60, deadline=None)
@given(rows=records, end=st.sampled_from(["\n", "\r\n"]))
def test_any_csv_gives_the_records_and_lines_of_a_second_reader(
    tmp_path_factory, rows: list[list[str]], end: str
) -> None:
    """RFC 4180, with Python's csv as the oracle for fields and for where a record begins."""
    drop: Path = tmp_path_factory.mktemp("drop")
    text = io.StringIO(newline="")
    text.write(HEADER + end)
    csv.writer(text, lineterminator=end).writerows(rows)
    (drop / "supply_items.csv").write_bytes(text.getvalue().encode())
    with duckdb.connect(":memory:") as con:
        create_schemas(con)
        load_drop(con, find_files(drop), LOADED_AT)
        columns = ", ".join(f"coalesce({n}, '')" for n in FEEDS["supply_items"].column_names)
        read = con.execute(f"select line, {columns} from raw.supply_items order by line").fetchall()
        total, *parts = con.execute(
            "select total_lines, header_lines, blank_lines, record_lines, unreadable_lines "
            "from raw.files"
        ).fetchall()[0]
    assert total == sum(parts)
    assert [list(row) for row in read] == _oracle(text.getvalue())


def _oracle(text: str) -> list[list[object]]:
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    next(reader)
    found: list[list[object]] = []
    begins = reader.line_num + 1
    for row in reader:
        if any(cell.strip(" \t,") for cell in row) or any(row):
            found.append([begins, *row])
        begins = reader.line_num + 1
    return [row for row in found if any(row[1:])]
