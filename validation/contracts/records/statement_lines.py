"""Statement lines: totals that multiply, and quantities whose sign says what the line does."""

import polars as pl

from validation.contracts.records.money import line_total_helper, line_total_rule
from validation.contracts.records.rule import FeedRules, RecordRule

_TAKES_OFF = (pl.col("document_kind") == "credit") ^ (pl.col("category") == "discount")
_IS_CREDIT_OR_DISCOUNT = (pl.col("document_kind") == "credit") | (pl.col("category") == "discount")

RULES = FeedRules(
    rules=(
        line_total_rule("unit_price"),
        RecordRule(
            "credit_not_negative",
            "quantity",
            ~_IS_CREDIT_OR_DISCOUNT
            | (_TAKES_OFF & (pl.col("quantity") < 0))
            | (~_TAKES_OFF & (pl.col("quantity") > 0)),
        ),
        RecordRule(
            "quantity_not_positive", "quantity", _IS_CREDIT_OR_DISCOUNT | (pl.col("quantity") > 0)
        ),
    ),
    helpers={"is_total_right": line_total_helper("unit_price")},
)
