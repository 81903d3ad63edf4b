"""Supply movements: the kind gives the direction, so the quantity is positive."""

import polars as pl

from validation.contracts.records.rule import FeedRules, RecordRule

#: A count or an opening balance may find nothing.
_MAY_BE_NONE = pl.col("movement_kind").is_in(["opening", "counted"])

RULES = FeedRules(
    rules=(
        RecordRule(
            "quantity_not_positive",
            "quantity",
            (pl.col("quantity") > 0) | (_MAY_BE_NONE & (pl.col("quantity") == 0)),
        ),
    ),
)
