"""A public collection of awkward CSV files (csv-spectrum 2.0.0, see spectrum/SOURCE.txt): both
paths of the reader find the records that the collection says are in them."""

import csv
import json
from pathlib import Path

import duckdb
import pytest

from pipelines.load.headings import Heading
from pipelines.load.prove import Proof
from pipelines.load.read_exact import Dialect, read_exact
from pipelines.load.read_fast import read_fast

FILES = sorted((Path(__file__).parent / "spectrum").glob("*.csv"))


def _expected(path: Path) -> list[list[str]]:
    records = json.loads(path.with_suffix(".json").read_text(encoding="utf-8"))
    return [list(record.values()) for record in records]


def _headings(path: Path) -> list[str]:
    with path.open(encoding="utf-8", newline="") as stream:
        return next(csv.reader(stream))


def _like_the_file(path: Path, records: list[list[str]]) -> list[list[str]]:
    """The collection's records have LF inside fields; ours keep the file's own line ends."""
    if b"\r\n" not in path.read_bytes():
        return records
    return [[field.replace("\r\n", "\n") for field in record] for record in records]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_exact_path_finds_the_records_of_the_collection(path: Path) -> None:
    (batch,) = read_exact(path, Dialect(",", len(_headings(path))))
    assert batch.unreadable == []
    expected = _like_the_file(path, _expected(path))
    assert _like_the_file(path, batch.records) == expected


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_fast_path_finds_the_records_of_the_collection_or_gives_way(path: Path) -> None:
    text = path.read_bytes()
    proof = Proof(path, total_lines=text.count(b"\n") + (not text.endswith(b"\n")))
    names = _headings(path)
    proof.headings = tuple(Heading(i, name, f"c{i}") for i, name in enumerate(names))
    with duckdb.connect(":memory:") as con:
        columns = [f"c{i} varchar" for i in range(len(names))]
        columns += ["extra_fields varchar", "file_id varchar", "line bigint"]
        con.execute("create schema raw")
        con.execute(f"create table raw.sheet ({', '.join(columns)})")
        read = read_fast(con, "sheet", proof)
        assert read is not None
        fields = ", ".join(f"coalesce(c{i}, '')" for i in range(len(names)))
        found = con.execute(f"select {fields} from raw.sheet order by line").fetchall()
        assert len(found) == read.records
    expected = _like_the_file(path, _expected(path))
    assert _like_the_file(path, [list(row) for row in found]) == expected


def test_the_collection_is_whole() -> None:
    assert len(FILES) == 11
