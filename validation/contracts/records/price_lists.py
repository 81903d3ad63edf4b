"""Price lists: a range has its lower end first."""

import polars as pl

from validation.contracts.figures import price_text
from validation.contracts.records.rule import FeedRules, RecordRule

RULES = FeedRules(
    rules=(
        RecordRule(
            "price_range_reversed",
            "price_high",
            pl.col("price_high") >= pl.col("price"),
            f"'The lower end is ' || {price_text('r.price')} || '.'",
        ),
    ),
    # The header of a list carries its disclosures and no price.
    required_unless={"price": "r.category = 'list_header'"},
)
