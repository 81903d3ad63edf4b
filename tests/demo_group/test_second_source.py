"""The demo's second source: a worked example of a system that writes nothing as the feeds do."""

from pathlib import Path

import duckdb

from pipelines.command.demo import DROP
from pipelines.feeds import FEEDS
from pipelines.load.headings import canonical
from pipelines.sources import read_settings

THEIRS = {"supply_movements": "stock_care_20261116.csv", "air_samples": "air_care_20261116.csv"}


def headings(file: Path, line: int, delimiter: str) -> set[str]:
    text = file.read_text(encoding="cp1252").splitlines()[line]
    return {canonical(heading) for heading in text.split(delimiter)}


def test_its_exports_share_no_heading_with_any_feed() -> None:
    ours = {canonical(name) for f in FEEDS.values() for c in f.columns
            for name in (c.name, *c.aliases)}  # fmt: skip
    for name in THEIRS.values():
        assert headings(DROP / name, 2, ";") & ours == set()


def test_its_settings_map_every_heading_that_a_feed_knows() -> None:
    settings, _ = read_settings(DROP / "sources.toml")
    for feed, part in settings.sources["care_room_log"].feeds.items():
        mapped = {*part.headings.values(), *part.fill}
        required = {c.name for c in FEEDS[feed].columns if c.is_required}
        assert required <= mapped
        assert {canonical(h) for h in part.headings} <= headings(DROP / THEIRS[feed], 2, ";")


def test_its_values_count_as_the_feeds_declare_them(demo: duckdb.DuckDBPyConnection) -> None:
    """Worked by hand from the lines: 17/05/2026 23:00 in Chicago is 18 May, 04:00 UTC."""
    assert demo.execute(
        "select m.location_id, movement_kind, quantity::varchar, unit_cost::varchar, "
        "lot_number, expires_date::varchar, occurred_at::varchar, m.line "
        "from accepted.supply_movements m where movement_id = 'MV-OPEN-CARE-1-ART-25'"
    ).fetchall() == [
        ("CARE", "opening", "72.0000", "6.8500", "ART25-2604", "2027-10-31",
         "2026-05-18 04:00:00", 4)
    ]  # fmt: skip
    litres = demo.execute(
        """
        select count(*), count(*) filter (
            where a.mixed_volume_ml
                <> cast(replace(r.mixed_volume_ml, ',', '.') as decimal(18, 4)) * 1000
        )
        from accepted.supply_movements a
        join raw.supply_movements r on r.file_id = a.file_id and r.line = a.line
        join raw.files f on f.file_id = a.file_id
        where f.source = 'care_room_log' and a.mixed_volume_ml is not null
        """
    ).fetchall()[0]
    assert litres[0] > 50
    assert litres[1] == 0
