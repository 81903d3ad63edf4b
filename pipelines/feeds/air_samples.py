"""Formaldehyde in the air of preparation rooms."""

from pipelines.feeds.declare import Column, Feed, Form

FEED = Feed(
    name="air_samples",
    family="supply",
    order=60,
    meaning="Measured formaldehyde in the air of a preparation room.",
    grain="One row per sample.",
    key=("sample_id",),
    zone_from=("location_id",),
    dated_by="started_at",
    columns=(
        Column("sample_id", Form.IDENTIFIER, "Number of the sample.", True, example="AS-0001"),
        Column("location_id", Form.IDENTIFIER, "Where it was taken.", True,
               refers_to="locations.location_id", example="CARE"),
        Column("started_at", Form.INSTANT, "When sampling began.", True,
               example="2026-06-10T09:00-05:00"),
        Column("minutes", Form.NUMBER, "How long it ran.", True, unit="minutes", example="480"),
        Column("formaldehyde_ppm", Form.NUMBER, "Average while it ran.", True, unit="ppm",
               example="0.21", minimum=0),
        Column("sample_kind", Form.CODE, "What it stands for.", True,
               allowed=("shift", "task", "short_term"),
               source="29 CFR 1910.1048(c): 8-hour average and 15-minute limit", example="shift"),
        Column("worker_code", Form.IDENTIFIER, "Whose breathing zone (a code).", example="W-03"),
    ),
)  # fmt: skip
