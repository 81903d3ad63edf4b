"""The care centre's own system: its stock and its air samples come as that software writes them.

No heading is a feed's, days are day/month/year, decimals have a comma, kinds have codes of their
own, mixed volumes are in litres, two title lines stand above the header. ``sources.toml`` beside
the files declares it all.
"""

from pathlib import Path

import duckdb

from pipelines.feeds import FEEDS
from pipelines.sqltext import identifier, literal

SOURCE = "care_room_log"
PLACE = "CARE"
_STAMP = "20261116"
_ENCODING = "cp1252"
_TITLES = ("Room log of the shared care centre", "Printed 16/11/2026 09:00")
_KINDS = {"opening": "A", "received": "IN", "issued": "OUT", "returned": "BACK", "sent": "AWAY",
          "arrived": "HERE", "counted": "COUNT", "written_off": "LOST"}  # fmt: skip
_SORTS = {"shift": "S", "task": "T", "short_term": "P"}

#: Feed -> the source's name of the file, and heading -> column (None: none of ours), SQL of its
#: text.
_FILES: dict[str, tuple[str, dict[str, tuple[str | None, str]]]] = {
    "supply_movements": (
        "stock_care",
        {
            "Entry": ("movement_id", "{}"),
            "When": ("occurred_at", "day_first({})"),
            "Article": ("item_code", "{}"),
            "Type": ("movement_kind", "coded({})"),
            "Amount": ("quantity", "with_comma({})"),
            "Measure": ("unit", "{}"),
            "Price each": ("unit_cost", "with_comma({})"),
            "Batch": ("lot_number", "coalesce({}, '-')"),
            "Use by": ("expires_date", "day_first({})"),
            "For": ("case_number", "{}"),
            "Solution (l)": ("mixed_volume_ml", "with_comma(in_litres({}))"),
            "Slip": ("document_number", "{}"),
            "Initials": ("recorded_by", "{}"),
            # The log knows more than any feed asks for: kept, noted and read by nothing.
            "Shift": (
                None,
                "case when substr(occurred_at, 12, 2) < '14' then 'early' else 'late' end",
            ),
        },
    ),
    "air_samples": (
        "air_care",
        {
            "Sample": ("sample_id", "{}"),
            "Begun": ("started_at", "day_first({})"),
            "Length (min)": ("minutes", "with_comma({})"),
            "HCHO (ppm)": ("formaldehyde_ppm", "with_comma({})"),
            "Sort": ("sample_kind", "coded({})"),
            "Person": ("worker_code", "{}"),
            # Nobody writes in it: an unknown heading without data is no news.
            "Weather": (None, "null"),
        },
    ),
}

_MACROS = r"""
create macro day_first(t) as case
    when regexp_full_match(t, '\d{4}-\d\d-\d\d(T\d\d:\d\d)?([+-]\d\d:\d\d)?')
    then substr(t, 9, 2) || '/' || substr(t, 6, 2) || '/' || left(t, 4)
        || case when length(t) > 10 then ' ' || substr(t, 12, 5) else '' end
    else t end;
create macro with_comma(t) as replace(t, '.', ',');
create macro in_litres(t) as coalesce(
    rtrim(rtrim((try_cast(t as decimal(18, 1)) / 1000)::decimal(18, 4)::varchar, '0'), '.'), t)
"""


def split_off(folder: Path, files: dict[str, Path]) -> list[Path]:
    """Move the care centre's records out of ``files`` into files of its own system, beside its
    settings; gives the new files."""
    codes = {a: b for kinds in (_KINDS, _SORTS) for a, b in kinds.items()}
    whens = " ".join(f"when {literal(a)} then {literal(b)}" for a, b in codes.items())
    made = []
    with duckdb.connect() as con:
        coded = f"create macro coded(t) as case t {whens} else t end"
        con.execute(f"set threads = 1; {_MACROS}; {coded}")
        for feed, (name, headings) in _FILES.items():
            _read(con, feed, files[feed])
            made.append(_write_theirs(con, folder / f"{name}_{_STAMP}.csv", headings))
            _write_ours(con, files[feed])
    settings = folder / "sources.toml"
    settings.write_text(_settings(), encoding="utf-8")
    return [*made, settings]


def _read(con: duckdb.DuckDBPyConnection, feed: str, file: Path) -> None:
    columns = ", ".join(f"{literal(name)}: 'VARCHAR'" for name in FEEDS[feed].column_names)
    con.execute(
        f"create or replace table records as from read_csv({literal(str(file))}, header = true, "
        f"auto_detect = false, delim = ',', quote = '\"', escape = '\"', columns = {{{columns}}})"
    )


def _write_theirs(
    con: duckdb.DuckDBPyConnection, file: Path, headings: dict[str, tuple[str | None, str]]
) -> Path:
    values = ", ".join(
        f"{sql.format(column)} as {identifier(name)}" for name, (column, sql) in headings.items()
    )
    con.execute(
        f"copy (select {values} from records where location_id = {literal(PLACE)}) "
        f"to {literal(str(file))} (format csv, header true, delimiter ';', quote '\"', escape '\"')"
    )
    lines = [*_TITLES, *file.read_text(encoding="utf-8").splitlines()]
    file.write_bytes("".join(f"{line}\r\n" for line in lines).encode(_ENCODING))
    return file


def _write_ours(con: duckdb.DuckDBPyConnection, file: Path) -> None:
    kept = file.with_suffix(".kept")
    con.execute(
        f"copy (from records where location_id is distinct from {literal(PLACE)}) "
        f"to {literal(str(kept))} (format csv, header true, delimiter ',', quote '\"', escape '\"')"
    )
    kept.replace(file)


def _settings() -> str:
    """The settings file: what the care centre's system writes, in the words of ``Settings``."""
    parts = [
        "# How the care centre's own system writes its exports. Everyone else writes as declared.",
        "",
        f"[sources.{SOURCE}]",
        'delimiter = "semicolon"',
        'encoding = "windows-1252"',
        'dates = "day/month/year"',
        'decimal = "comma"',
        'zone = "America/Chicago"',
        'exported = "%Y%m%d"',
    ]
    theirs = {
        "supply_movements": {"movement_kind": _KINDS},
        "air_samples": {"sample_kind": _SORTS},
    }
    for feed, (name, headings) in _FILES.items():
        head = f"sources.{SOURCE}.feeds.{feed}"
        parts += ["", f"[{head}]", f'files = ["{name}_*"]', 'slice = "full"']
        parts += ["lines_above_header = 2", f'fill = {{ location_id = "{PLACE}" }}']
        if feed == "supply_movements":
            parts += ['units = { mixed_volume_ml = "l" }', 'blank_words = { lot_number = ["-"] }']
        parts += ["", f"[{head}.headings]"]
        parts += [f'"{said}" = "{column}"' for said, (column, _) in headings.items() if column]
        for column, kinds in theirs[feed].items():
            parts += ["", f"[{head}.codes.{column}]"]
            parts += [f'"{code}" = "{ours}"' for ours, code in kinds.items()]
    return "\n".join(parts) + "\n"
