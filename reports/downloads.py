"""The rows of each table, read once: the first for the page, all of them for the files beside it.

CSV and XLSX are for eyes and spreadsheets: text that would run as a formula or turn the reading
direction is made harmless. Parquet is for programs and holds every value exactly. CSV and Parquet
are written batch by batch, so a table of any size takes little memory.
"""

import shutil
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

import polars as pl
import pyarrow as pa
import pyarrow.parquet as pq

from reports.plain_text import harmless, shown
from reports.sheet import MOST_SHEET_ROWS, write_sheet
from reports.tables import Listing
from reports.warehouse import Warehouse

#: Rows kept for the page; no page prints more.
MOST_ROWS = 500
_BATCH = 100_000
#: More rows than this are no file that anybody opens, and to sort them takes more disk than the
#: warehouse itself (measured at 60 million lines). The page says so and names the mart.
MOST_EXPORTED = 5_000_000
#: ISO 8601; instants of the warehouse are UTC.
_INSTANT = "%Y-%m-%dT%H:%M:%S"


@dataclass(frozen=True)
class Taken:
    """The first rows of a table, how many there are, and its files by kind; of a grouped table the
    first lines, and how many ``lines`` there are."""

    head: pl.DataFrame
    total: int
    files: dict[str, Path]
    lines: int | None = None


@dataclass
class Downloads:
    """Reads and writes each distinct set of rows once, and copies the files for further readers."""

    warehouse: Warehouse
    taken: dict[tuple[str, str, frozenset[str], tuple[str, ...]], Taken] = field(
        default_factory=dict
    )

    def take(
        self, listing: Listing, stem: Path, hidden: frozenset[str], kinds: tuple[str, ...]
    ) -> Taken:
        """Rows of the listing; files of ``kinds`` named ``stem`` without the ``hidden`` columns."""
        key = (listing.sql, listing.grouped, hidden, kinds)
        if key not in self.taken:
            total = self._too_many(listing)
            self.taken[key] = self._grouped(
                listing,
                Taken(self._head(listing.sql), total, {})
                if total
                else self._read(listing, stem, hidden, kinds),
            )
            return self.taken[key]
        before = self.taken[key]
        files = {kind: _named(stem, kind) for kind in before.files}
        for kind, path in files.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(before.files[kind], path)
        return replace(before, files=files)

    def _head(self, sql: str) -> pl.DataFrame:
        return self.warehouse.frame(f"{sql} limit {MOST_ROWS}")

    def _grouped(self, listing: Listing, taken: Taken) -> Taken:
        """The lines that a page prints for the rows, where they are not the rows themselves."""
        if not listing.grouped:
            return taken
        lines = self.warehouse.count(f"select count(*) from ({listing.grouped})")
        return replace(taken, head=self._head(listing.grouped), lines=lines)

    def _too_many(self, listing: Listing) -> int:
        """How many rows, when they are more than a file holds; else 0. A small warehouse is not
        counted table by table."""
        if not self._is_large:
            return 0
        total = self.warehouse.count(f"select count(*) from ({listing.sql})")
        return total if total > MOST_EXPORTED else 0

    @cached_property
    def _is_large(self) -> bool:
        largest = self.warehouse.count("select max(estimated_size) from duckdb_tables()")
        return largest > MOST_EXPORTED

    def _read(
        self, listing: Listing, stem: Path, hidden: frozenset[str], kinds: tuple[str, ...]
    ) -> Taken:
        reader = self.warehouse.reader(listing.sql, _BATCH)
        names = [name for name in reader.schema.names if name not in hidden]
        head, kept, total = _no_rows(reader.schema), [], 0
        with ExitStack() as stack:
            writers = _Writers(stem, kinds, reader.schema, names, stack)
            for batch in reader:
                frame = _frame(batch)
                head = pl.concat([head, frame.head(MOST_ROWS - head.height)])
                total += frame.height
                writers.write(batch, frame)
                if total <= MOST_SHEET_ROWS:
                    kept.append(frame)
        files = {kind: _named(stem, kind) for kind in kinds if kind != "XLSX"}
        if "XLSX" in kinds and total <= MOST_SHEET_ROWS:
            rows = pl.concat([head.clear(), *kept]).select(names)
            files["XLSX"] = _named(stem, "XLSX")
            write_sheet(shown(rows), listing, files["XLSX"])
        return Taken(head, total, files)


class _Writers:
    """The open CSV and Parquet files of one table; the heading stands even over no rows."""

    def __init__(
        self, stem: Path, kinds: tuple[str, ...], schema: pa.Schema, names: list[str],
        stack: ExitStack,
    ) -> None:  # fmt: skip
        self._names = names
        stem.parent.mkdir(parents=True, exist_ok=True)
        leaving = pa.schema([schema.field(name) for name in names])
        self._csv = None
        self._parquet = None
        if "CSV" in kinds:
            self._csv = stack.enter_context(_named(stem, "CSV").open("wb"))
            _no_rows(leaving).write_csv(self._csv)
        if "Parquet" in kinds:
            path = _named(stem, "Parquet")
            self._parquet = stack.enter_context(pq.ParquetWriter(path, leaving))

    def write(self, batch: pa.RecordBatch, frame: pl.DataFrame) -> None:
        if self._csv is not None:
            harmless(frame.select(self._names)).write_csv(
                self._csv, include_header=False, datetime_format=_INSTANT
            )
        if self._parquet is not None:
            self._parquet.write_batch(batch.select(self._names))


def _named(stem: Path, kind: str) -> Path:
    return stem.with_name(f"{stem.name}.{kind.lower()}")


def _no_rows(schema: pa.Schema) -> pl.DataFrame:
    # Not ``empty_table``: that imports pandas, which takes longer than most tables.
    return _frame(pa.Table.from_batches([], schema))


def _frame(rows: pa.Table | pa.RecordBatch) -> pl.DataFrame:
    made = pl.from_arrow(rows)
    assert isinstance(made, pl.DataFrame)
    return made
