"""From a number of cases to a folder of CSV files, one block of cases at a time."""

import shutil
import tempfile
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import duckdb

from pipelines.demo_group import answer_key
from pipelines.demo_group.plants import plant_all, plant_counts, raw_lines
from pipelines.demo_group.scripts import run_script
from pipelines.feeds import GROUP_FEEDS

#: The drop's export instant as minutes since 1970 UTC (2026-11-16T09:00Z); nothing in it is later.
CUT_OFF_MINUTE = 29_913_660
#: What the files are dated, and with it their order among exports.
EXPORT_DATE = "2026-11-16"
#: Cases of one set of shelves, chambers and rooms; also the smallest drop.
TILE = 480
LARGEST = 3_000_000
#: Cases held in memory at once: about 50,000 events and 60,000 lines for each 3,000 cases.
BLOCK = TILE * 40
#: Above this the drop is a benchmark's, and light background faults are strewn over it.
BACKGROUND_FROM = 10_000

_GLOBAL = ("00_chance", "05_lists", "06_price_book", "80_price_lists", "96_places_and_items")
_BLOCK = (
    "10_people",
    "20_plans",
    "30_times",
    "40_last_acts",
    "50_journeys",
    "55_shelves",
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


@dataclass(frozen=True)
class Drop:
    """What was written: ``files`` by feed, ``rows`` by feed, and the answer key."""

    folder: Path
    files: dict[str, Path]
    rows: dict[str, int]
    key: Path


def generate(
    out: Path, cases: int = TILE, threads: int | None = None, with_plants: bool = True
) -> Drop:
    """Write ``out/drop/<feed>-2026-11-16.csv`` for the nine feeds and ``out/answer_key.csv``.

    The same ``cases`` give the same bytes, whatever the threads. Memory is bounded by the block:
    tables of one block live in a DuckDB that spills beside ``out``. ValueError names the sizes
    that can be made.
    """
    if not TILE <= cases <= LARGEST:
        raise ValueError(f"cases must be from {TILE} to {LARGEST}, not {cases}")
    folder = out / "drop"
    folder.mkdir(parents=True, exist_ok=True)
    files = {name: folder / f"{name}-{EXPORT_DATE}.csv" for name in GROUP_FEEDS}
    rows = dict.fromkeys(GROUP_FEEDS, 0)
    with tempfile.TemporaryDirectory(dir=out, prefix=".parts-") as parts, duckdb.connect() as con:
        con.execute(f"set temp_directory = '{parts}'")
        con.execute("set memory_limit = '2GB'")
        if threads is not None:
            con.execute(f"set threads = {threads}")
        con.execute(f"set variable cut_off = {CUT_OFF_MINUTE}::bigint")
        con.execute(f"set variable tiles = {-(-cases // TILE)}")
        con.execute(f"set variable has_background = {cases > BACKGROUND_FROM}")
        run_script(con, *_GLOBAL)
        con.execute(
            "create temp table stock_flows (place varchar, item_code varchar, bucket integer, "
            "amount bigint)"
        )
        answer_key.create(con)
        # The first tile stands alone: it bears the plants, and a plant looks through its tables.
        starts = [0, *range(TILE, cases, BLOCK), cases]
        for first, end in pairwise(starts):
            con.execute(f"set variable first_case = {first}::bigint")
            con.execute(f"set variable end_case = {end}::bigint")
            run_script(con, *_BLOCK)
            if with_plants and first == 0:
                run_script(con, "89_profiles")
                plant_all(con, is_small=cases == TILE)
            run_script(con, "91_flows", "93_background")
            for name in GROUP_FEEDS:
                if name not in _ONCE:
                    rows[name] += _append(con, name, name, files[name], Path(parts), first == 0)
        run_script(con, "95_counts_of_stock")
        if with_plants:
            plant_counts(con)
        rows["supply_movements"] += _append(
            con, "supply_movements", "stock_counts", files["supply_movements"], Path(parts), False
        )
        for name in _ONCE:
            rows[name] += _append(con, name, name, files[name], Path(parts), True)
        key = out / "answer_key.csv"
        answer_key.write(con, key)
    if with_plants and cases == TILE:
        for name, line in raw_lines():
            with files[name].open("ab") as file:
                file.write(line)
    return Drop(folder, files, rows, key)


def _append(
    con: duckdb.DuckDBPyConnection,
    feed_name: str,
    table: str,
    file: Path,
    parts: Path,
    is_first: bool,
) -> int:
    """Append the rows of ``table`` as records of the feed, in time order; give their number."""
    declared = GROUP_FEEDS[feed_name]
    columns = ", ".join(f'"{name}"' for name in declared.column_names)
    has_order = feed_name not in _ONCE
    key = ", ".join(
        f'len("{name}"), "{name}"' if name == "line_number" else f'"{name}"'
        for name in declared.key
    )
    order = f"sort_minute, {key}, {columns}" if has_order else f"{key}, {columns}"
    part = parts / f"{feed_name}.csv"
    written = con.execute(
        f"copy (select {columns} from {table} order by {order}) to '{part}' "
        f"(format csv, header {str(is_first).lower()}, delimiter ',', quote '\"', escape '\"')"
    ).fetchall()
    with part.open("rb") as source, file.open("wb" if is_first else "ab") as target:
        shutil.copyfileobj(source, target, 1 << 20)
    part.unlink()
    return int(written[0][0])
