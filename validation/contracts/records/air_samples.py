"""Air samples: an average needs a time that it is over."""

import polars as pl

from validation.contracts.records.rule import FeedRules, RecordRule

RULES = FeedRules(rules=(RecordRule("minutes_not_positive", "minutes", pl.col("minutes") > 0),))
