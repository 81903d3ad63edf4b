"""What a record rule is."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import polars as pl

#: Two devices' clocks may differ by this much. Common practice, no source.
CLOCK_SKEW = "interval '5 minute'"


@dataclass(frozen=True)
class RecordRule:
    """A rule that one record breaks or keeps.

    ``column`` is the declared column that a reject names. ``holds`` is true where the record is
    lawful; null, where a value is not there, passes: a missing value is a rule of its own.
    ``detail`` is SQL over the typed record ``r`` that says what was found.
    """

    code: str
    column: str
    holds: pl.Expr
    detail: str = "cast(null as varchar)"


@dataclass(frozen=True)
class FeedRules:
    """The record rules of a feed.

    ``helpers`` are columns that SQL computes over the typed record ``r`` for the rules.
    ``required_unless`` says for a column, in SQL, when it may be empty; else it is required.
    """

    rules: tuple[RecordRule, ...] = ()
    helpers: Mapping[str, str] = field(default_factory=dict)
    required_unless: Mapping[str, str] = field(default_factory=dict)
