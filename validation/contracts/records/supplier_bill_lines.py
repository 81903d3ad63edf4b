"""Supplier bill lines: totals that multiply. A supplier's credit is a negative quantity."""

import polars as pl

from validation.contracts.records.money import line_total_helper, line_total_rule
from validation.contracts.records.rule import FeedRules, RecordRule

RULES = FeedRules(
    rules=(
        line_total_rule("unit_cost"),
        RecordRule("quantity_not_positive", "quantity", pl.col("quantity") != 0),
    ),
    helpers={"is_total_right": line_total_helper("unit_cost")},
)
