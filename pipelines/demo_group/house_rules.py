"""Limits that the demo group sets itself where the law of a place names none.

They come as any group's own rows of a reference table do: as a file of the drop.
"""

import csv
from pathlib import Path

from pipelines.feeds import FEEDS

_FEED = "jurisdiction_limits"
_ROWS = (
    {
        "jurisdiction": "US-CO",
        "limit_kind": "holding",
        "starts_at": "received",
        "hours": "480",
        "exemptions": "Asked to decide by day 20; the compliance officer may give more.",
        "citation": "House rule 4 of the group",
        "status": "common practice",
    },
    {
        "jurisdiction": "US-CO",
        "limit_kind": "permit_within",
        "starts_at": "death",
        "hours": "120",
        "exemptions": "Not while a coroner keeps the case open.",
        "citation": "House rule 7 of the group",
        "status": "common practice",
    },
    # Of states where the group has no home: one laxer than the law's row, one stricter.
    {
        "jurisdiction": "US-MN",
        "limit_kind": "preservation",
        "starts_at": "death",
        "hours": "96",
        "citation": "House rule 9 of the group",
        "status": "common practice",
    },
    {
        "jurisdiction": "US-NY",
        "limit_kind": "permit_within",
        "starts_at": "death",
        "hours": "48",
        "citation": "House rule 9 of the group",
        "status": "common practice",
    },
)


def write_house_rules(folder: Path, stamp: str) -> Path:
    """Write ``jurisdiction_limits-<stamp>.csv`` into ``folder``; gives the file."""
    file = folder / f"{_FEED}-{stamp}.csv"
    with file.open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, FEEDS[_FEED].column_names, lineterminator="\n")
        writer.writeheader()
        writer.writerows(_ROWS)
    return file
