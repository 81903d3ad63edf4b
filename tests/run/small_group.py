"""A drop of a group so small that a run of it takes seconds, and the command over it."""

import csv
from pathlib import Path

from pipelines.feeds import FEEDS


def write_export(drop: Path, feed: str, name: str, *records: dict[str, str]) -> Path:
    """A file of the feed in the drop: the declared examples of what is required, overridden."""
    drop.mkdir(exist_ok=True)
    required = {c.name: c.example for c in FEEDS[feed].columns if c.is_required}
    rows = [required | record for record in records]
    with (drop / name).open("w", newline="", encoding="utf-8") as stream:
        writer = csv.DictWriter(stream, rows[0], lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    return drop / name


def write_group(drop: Path, day: str, *case_numbers: str) -> Path:
    """Exports of a day: the locations, and these cases."""
    write_export(drop, "locations", f"locations-{day}.csv", {})
    write_export(
        drop, "cases", f"cases-{day}.csv", *({"case_number": number} for number in case_numbers)
    )
    return drop
