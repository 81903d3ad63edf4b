"""Custody events, each by itself; ``validation.contracts.chain`` judges the chain of a case."""

import polars as pl

from validation.contracts.records.rule import CLOCK_SKEW, FeedRules, RecordRule

#: More identifiers than name, dates, band, case, address and number papers: common practice.
MOST_IDENTIFIERS = 9

RULES = FeedRules(
    rules=(
        RecordRule(
            "recorded_before_occurred",
            "recorded_at",
            pl.col("is_recorded_after"),
            "'It happened at ' || strftime(r.occurred_at, '%Y-%m-%d %H:%M') || ' UTC, '"
            " || cast(date_diff('minute', r.recorded_at, r.occurred_at) as varchar)"
            " || ' minutes after it was recorded.'",
        ),
        RecordRule(
            "identifiers_out_of_range",
            "identifiers_matched",
            pl.col("identifiers_matched").is_between(0, MOST_IDENTIFIERS),
        ),
        RecordRule("second_checker_same_person", "second_checker", pl.col("is_second_another")),
    ),
    helpers={
        "is_recorded_after": f"r.recorded_at >= r.occurred_at - {CLOCK_SKEW}",
        "is_second_another": "lower(trim(r.second_checker)) <> lower(trim(r.performed_by))",
    },
    # A physical count may find a band that belongs to nobody we know.
    required_unless={"case_number": "r.action = 'counted'"},
)
