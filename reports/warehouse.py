"""The warehouse as the pages read it: read only, one statement at a time."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from types import TracebackType

import duckdb
import polars as pl
import pyarrow as pa

from pipelines.errors import LedgerstoneError
from pipelines.memory import memory_limit
from reports import words
from reports.titles import Fact


class WarehouseNotReadable(LedgerstoneError):
    """The warehouse is missing, held by a writer, or not one of ours; the message says what to
    do."""


@dataclass(frozen=True)
class Place:
    """One location of the group. ``slot`` fixes its colour, dash and order on every page."""

    location_id: str
    name: str
    kind: str
    zone: str
    jurisdiction: str
    address: str | None
    telephone: str | None
    slot: int


def literal(value: str | date | datetime) -> str:
    """A value as an SQL literal, for statements that are also printed as a source."""
    if isinstance(value, datetime):
        return f"timestamp '{value:%Y-%m-%d %H:%M:%S}'"
    if isinstance(value, date):
        return f"date '{value:%Y-%m-%d}'"
    return "'" + value.replace("'", "''") + "'"


class Warehouse:
    """A read-only connection, the as-of instant (naive UTC, as in the warehouse) and the places.

    ``shares``: how many processes have it open and divide the memory between them.
    """

    def __init__(self, path: Path, as_of: datetime, *, shares: int = 1) -> None:
        if not path.is_file():
            raise WarehouseNotReadable(
                f"There is no warehouse at {path}. Run the pipeline first, or name the file it "
                "made."
            )
        try:
            self._connection = duckdb.connect(str(path), read_only=True)
            self._connection.execute("set timezone = 'UTC'")
            # It takes a process without a script file of its own for a person at a prompt.
            self._connection.execute("set enable_progress_bar = false")
            self._connection.execute(f"set memory_limit = {literal(memory_limit(shares))}")
        except duckdb.Error as error:
            raise WarehouseNotReadable(
                f"The warehouse {path} cannot be opened for reading: {error} Close the program "
                "that has it open, or wait until its run ends, then publish again."
            ) from error
        self.path = path
        self._read: dict[str, list[tuple[object, ...]]] = {}
        self.as_of = as_of.astimezone(UTC).replace(tzinfo=None) if as_of.tzinfo else as_of

    def __enter__(self) -> "Warehouse":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._connection.close()

    def frame(self, sql: str) -> pl.DataFrame:
        """The rows of a statement. The caller orders them totally."""
        made: pl.DataFrame = self._connection.sql(sql).pl()
        return made

    def rows(self, sql: str) -> list[tuple[object, ...]]:
        """The rows of a statement, read once: the pages of several audiences ask the same."""
        if sql not in self._read:
            self._read[sql] = self._connection.sql(sql).fetchall()
        return self._read[sql]

    def scalar(self, sql: str) -> object:
        return self.rows(sql)[0][0]

    def count(self, sql: str) -> int:
        """A count, or a sum of counts that is null over no rows, as an int."""
        value = self.scalar(sql)
        return 0 if value is None else int(str(value))

    def fact(self, sql: str, shown: Callable[..., str]) -> Fact:
        """A number for a title: ``shown`` prints what the statement gives."""
        value = self.scalar(sql)
        return Fact(shown(value), value, sql)

    def add(self, name: str, frame: pl.DataFrame) -> None:
        """A temporary table for this publishing; the file itself is never written."""
        self._read.clear()
        self._connection.register("frame_to_add", frame)
        self._connection.execute(f"create or replace temp table {name} as from frame_to_add")
        self._connection.unregister("frame_to_add")

    def reader(self, sql: str, batch_rows: int) -> pa.RecordBatchReader:
        """The rows of a statement in batches, in order; read it to its end before the next call."""
        return self._connection.sql(sql).to_arrow_reader(batch_rows)

    def totals(self, sql: str, decimals: Mapping[str, int | None]) -> tuple[tuple[str, str], ...]:
        """Sums over all rows of a statement, printed; ``decimals`` by column (None: quantity)."""
        sums = ", ".join(f"sum({name})" for name in decimals)
        row = self.rows(f"select {sums} from ({sql})")[0]
        return tuple(
            (name, words.number(total, places) if places is not None else words.quantity(total))
            for (name, places), value in zip(decimals.items(), row, strict=True)
            if value is not None
            for total in (Decimal(str(value)),)
        )

    @cached_property
    def places(self) -> dict[str, Place]:
        """The group's locations by id, in the fixed order in which every page shows them."""
        found = self.rows(
            "select c.location_id, c.location_name, c.location_kind, c.time_zone, c.jurisdiction, "
            "l.address, l.telephone "
            "from marts.location_comparison as c "
            "left join accepted.locations as l on c.location_id = l.location_id "
            "order by c.location_id"
        )
        texts = [tuple(None if v is None else str(v) for v in row) for row in found]
        return {
            str(row[0]): Place(
                str(row[0]), row[1] or str(row[0]), row[2] or "", row[3] or "UTC", row[4] or "",
                row[5], row[6], slot,
            )
            for slot, row in enumerate(texts)
        }  # fmt: skip

    @cached_property
    def zone(self) -> str:
        """The group's own clock: the zone of most of its locations, first by name in a tie."""
        zones = [place.zone for place in self.places.values()]
        return min(zones, key=lambda z: (-zones.count(z), z), default="UTC")

    def zone_of(self, place: object) -> str:
        """The zone of a location id; an outside place has the group's own."""
        known = self.places.get(str(place))
        return known.zone if known else self.zone

    def name_of(self, location_id: str) -> str:
        if location_id == "(group)":
            return "whole group"
        known = self.places.get(location_id)
        return known.name if known else location_id
