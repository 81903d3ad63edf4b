"""Locations: a code means one place of the group and nothing else."""

import polars as pl

from validation.contracts.known import is_reserved
from validation.contracts.records.rule import FeedRules, RecordRule

RULES = FeedRules(
    rules=(
        RecordRule("location_code_reserved", "location_id", ~pl.col("is_reserved")),
    ),
    helpers={"is_reserved": is_reserved("r.location_id")},
)  # fmt: skip
