"""From a number of cases to a folder of CSV files, block by block of cases."""

import os
import shutil
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path

import duckdb

from pipelines.demo_group import answer_key
from pipelines.demo_group.house_rules import write_house_rules
from pipelines.demo_group.plants import plant_all, plant_counts, raw_lines
from pipelines.demo_group.scripts import run_script
from pipelines.demo_group.second_source import split_off
from pipelines.feeds import FEEDS, GROUP_FEEDS

#: The drop's export instant as minutes since 1970 UTC (2026-11-16T09:00Z); nothing in it is later.
CUT_OFF_MINUTE = 29_913_660
#: What the files are dated, and with it their order among exports.
EXPORT_DATE = "2026-11-16"
#: Exports of the week before, of which some records are still there: their feeds, with the table.
EARLIER_DATE = "2026-11-09"
_EARLIER = {"statement_lines": "earlier_lines", "price_lists": "earlier_prices"}
#: Cases of one set of shelves, chambers and rooms; also the smallest drop.
TILE = 480
LARGEST = 3_000_000
#: Cases made at once: about 900,000 records and 0.4 GB.
BLOCK = TILE * 40
#: Above this the drop is a benchmark's, and one case in a hundred is broken beside the plants.
BACKGROUND_FROM = 10_000

_GLOBAL = ("00_chance", "05_lists", "06_price_book", "80_price_lists", "96_places_and_items")
_PEOPLE = ("10_people", "20_plans", "30_times", "40_last_acts", "50_journeys", "55_shelves")
_RECORDS = (
    "60_custody_steps",
    "61_counts",
    "62_custody_events",
    "70_cases",
    "82_charges",
    "84_statement_lines",
    "86_issues",
    "88_stock",
    "90_supply_movements",
    "92_supplier_bills",
    "94_air_samples",
)
_ONCE = ("locations", "supply_items", "price_lists")
_BY_BLOCK = tuple(name for name in GROUP_FEEDS if name not in _ONCE)


@dataclass(frozen=True)
class Drop:
    """What was written: ``files`` by feed, ``rows`` by feed, the answer key, and ``others``: files
    of a second source with its settings, corrections and house rules."""

    folder: Path
    files: dict[str, Path]
    rows: dict[str, int]
    key: Path
    others: list[Path] = field(default_factory=list)


@dataclass(frozen=True)
class _Size:
    """How much is made, and where its parts lie meanwhile."""

    cases: int
    parts: Path

    @property
    def tiles(self) -> int:
        return -(-self.cases // TILE)


@dataclass(frozen=True)
class _Block:
    """The parts of one block: file and rows by feed, and what its movements leave in stock."""

    parts: dict[str, Path]
    rows: dict[str, int]
    flows: list[tuple[object, ...]]


def generate(
    out: Path, cases: int = TILE, threads: int | None = None, with_plants: bool = True
) -> Drop:
    """Write ``out/drop/<feed>-2026-11-16.csv`` for each feed of records and ``out/answer_key.csv``.

    The same ``cases`` give the same bytes, whatever the threads: each block is made by one thread,
    and blocks are joined in order. Memory is bounded by threads times a block. ValueError names the
    sizes that can be made.
    """
    if not TILE <= cases <= LARGEST:
        raise ValueError(f"cases must be from {TILE} to {LARGEST}, not {cases}")
    folder = out / "drop"
    folder.mkdir(parents=True, exist_ok=True)
    drop = Drop(
        folder,
        {name: folder / f"{name}-{EXPORT_DATE}.csv" for name in GROUP_FEEDS},
        dict.fromkeys(GROUP_FEEDS, 0),
        out / "answer_key.csv",
    )
    with tempfile.TemporaryDirectory(dir=out, prefix=".parts-") as parts:
        size = _Size(cases, Path(parts))
        with _scenario(size, 0, TILE) as con:
            flows = _write_first_tile(con, drop, size, with_plants)
            later = pairwise([*range(TILE, cases, BLOCK), cases])
            with ThreadPoolExecutor(threads or os.cpu_count() or 1) as pool:
                for block in pool.map(lambda ends: _make_block(size, *ends), later):
                    flows += block.flows
                    for name, part in block.parts.items():
                        _append(part, drop.files[name])
                        drop.rows[name] += block.rows[name]
            _write_counts(con, drop, size, flows, with_plants)
            answer_key.write(con, drop.key)
    if with_plants and cases == TILE:
        for name, line in raw_lines():
            with drop.files[name].open("ab") as file:
                file.write(line)
    if cases == TILE:
        drop.others.extend(split_off(folder, drop.files))
    return drop


@contextmanager
def _scenario(size: _Size, first: int, end: int) -> Iterator[duckdb.DuckDBPyConnection]:
    """A database of one thread with the scenario's lists and the people of the block."""
    with duckdb.connect() as con:
        con.execute("set threads = 1; set enable_progress_bar = false; set memory_limit = '2GB'")
        con.execute(f"set temp_directory = '{size.parts}'")
        con.execute(f"set variable cut_off = {CUT_OFF_MINUTE}::bigint")
        con.execute(f"set variable tiles = {size.tiles}")
        con.execute(f"set variable has_background = {size.cases > BACKGROUND_FROM}")
        con.execute(f"set variable first_case = {first}::bigint")
        con.execute(f"set variable end_case = {end}::bigint")
        run_script(con, *_GLOBAL, *_PEOPLE)
        yield con


def _write_first_tile(
    con: duckdb.DuckDBPyConnection, drop: Drop, size: _Size, with_plants: bool
) -> list[tuple[object, ...]]:
    """The first tile stands alone: it bears the plants. It writes the headers and gives flows."""
    run_script(con, *_RECORDS)
    answer_key.create(con)
    columns = ", ".join(f"{name} varchar" for name in FEEDS["corrections"].column_names)
    con.execute(f"create table corrections ({columns})")
    for feed, table in _EARLIER.items():
        con.execute(f"create table {table} as select * from {feed} limit 0")
    if with_plants:
        run_script(con, "89_profiles")
        plant_all(con, is_small=size.cases == TILE)
    for name in GROUP_FEEDS:
        part, drop.rows[name] = _write_part(con, name, name, size.parts / f"{name}-first.csv", True)
        drop.files[name].unlink(missing_ok=True)
        _append(part, drop.files[name])
    if with_plants:
        _write_corrections(con, drop)
        for feed, table in _EARLIER.items():
            earlier = drop.folder / f"{feed}-{EARLIER_DATE}.csv"
            _write_part(con, feed, table, earlier, True)
            drop.others.append(earlier)
        drop.others.append(write_house_rules(drop.folder, EXPORT_DATE))
    return _flows(con)


def _write_corrections(con: duckdb.DuckDBPyConnection, drop: Drop) -> None:
    """The group's corrections of known errors, which plants wrote down."""
    file = drop.folder / f"corrections-{EXPORT_DATE}.csv"
    con.execute(
        f"copy (from corrections order by all) to '{file}' "
        "(format csv, header true, delimiter ',', quote '\"', escape '\"')"
    )
    drop.others.append(file)


def _make_block(size: _Size, first: int, end: int) -> _Block:
    """Make the cases from ``first`` to before ``end``, each feed in a part without header."""
    parts, rows = {}, {}
    with _scenario(size, first, end) as con:
        run_script(con, *_RECORDS, as_views=_BY_BLOCK)
        for name in _BY_BLOCK:
            part = size.parts / f"{name}-{first}.csv"
            parts[name], rows[name] = _write_part(con, name, name, part, False)
        return _Block(parts, rows, _flows(con))


def _flows(con: duckdb.DuckDBPyConnection) -> list[tuple[object, ...]]:
    run_script(con, "91_flows")
    return con.execute("from stock_flows").fetchall()


def _write_counts(
    con: duckdb.DuckDBPyConnection,
    drop: Drop,
    size: _Size,
    flows: list[tuple[object, ...]],
    with_plants: bool,
) -> None:
    """Add the month-end counts of the stock, which need every block."""
    con.execute("delete from stock_flows")
    con.executemany("insert into stock_flows values (?, ?, ?, ?)", flows)
    run_script(con, "95_counts_of_stock")
    if with_plants:
        plant_counts(con)
    part = size.parts / "counts.csv"
    part, rows = _write_part(con, "supply_movements", "stock_counts", part, False)
    _append(part, drop.files["supply_movements"])
    drop.rows["supply_movements"] += rows


def _write_part(
    con: duckdb.DuckDBPyConnection, feed_name: str, table: str, part: Path, has_header: bool
) -> tuple[Path, int]:
    """Write ``table`` as records of the feed in order of time and key; give file and rows."""
    declared = GROUP_FEEDS[feed_name]
    columns = ", ".join(f'"{name}"' for name in declared.column_names)
    key = ", ".join(
        f'len("{name}"), "{name}"' if name == "line_number" else f'"{name}"'
        for name in declared.key
    )
    order = key if feed_name in _ONCE else f"sort_minute, {key}"
    if has_header:
        # Planted records may share a key; elsewhere it is unique and the rest would only cost time.
        order = f"{order}, {columns}"
    written = con.execute(
        f"copy (select {columns} from {table} order by {order}) to '{part}' "
        f"(format csv, header {str(has_header).lower()}, delimiter ',', quote '\"', escape '\"')"
    ).fetchall()
    return part, int(written[0][0])


def _append(part: Path, file: Path) -> None:
    with part.open("rb") as source, file.open("ab") as target:
        shutil.copyfileobj(source, target, 1 << 20)
    part.unlink()
