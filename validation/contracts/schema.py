"""The contract of a feed, built from its declaration and its record rules.

A pandera schema over an eager frame. Traps that shape it (pandera 0.35): a lazy frame is checked
for its columns only; nulls pass every check, so a missing value is nullability; a failure without a
row index is a fault of ours and must stop the run.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import pandera.polars as pa
import polars as pl
from pandera.api.polars.types import PolarsData
from pandera.errors import SchemaErrors

from pipelines.feeds import Column, Feed
from pipelines.sqltext import identifier
from validation.contracts.known import is_known, reference_rule
from validation.contracts.records import FeedRules, rules_for
from validation.parse.forms import evidence

#: What pandera calls the failure of a column that may not be null.
_NOT_NULLABLE = "not_nullable"
_FAILURES = {"row": pl.UInt32, "rule_code": pl.String, "column_name": pl.String}


class ContractFault(RuntimeError):
    """A contract met a frame that it was not made for: our fault, never a record's."""


@dataclass(frozen=True)
class Contract:
    """The schema of a feed, and the columns that a frame for it has besides ``row_id``.

    ``columns`` are typed columns; ``helpers`` are columns that SQL computes over the typed record
    ``r``. ``reported`` gives for a rule, or for a column of the frame, the declared column that a
    reject names.
    """

    schema: pa.DataFrameSchema
    columns: tuple[str, ...]
    helpers: Mapping[str, str]
    reported: Mapping[str, str]

    def find(self, frame: pl.DataFrame) -> pl.DataFrame:
        """What breaks the contract in ``frame``: row_id, rule_code, column_name.

        Raises:
            ContractFault: the frame does not fit the contract.
        """
        found = failures(self.schema, frame.select(*self.columns, *self.helpers))
        by_rule = pl.col("rule_code").replace_strict(dict(self.reported), default=None)
        by_column = pl.col("column_name").replace(dict(self.reported))
        return found.select(
            frame["row_id"].gather(found["row"]).alias("row_id"),
            "rule_code",
            pl.coalesce(by_rule, by_column).alias("column_name"),
        )


def build_contract(feed: Feed) -> Contract:
    """The contract of a feed: required columns, code lists, least figures, references and record
    rules."""
    rules = rules_for(feed)
    typed = {t.name: t.sql_type for t in feed.typed_columns}
    references = {f"is_known_{c.name}": c for c in feed.columns if reference_rule(c)}
    given = {f"is_given_{name}": name for name in rules.required_unless}
    helpers = dict(rules.helpers)
    helpers |= {name: is_known(column) for name, column in references.items()}
    helpers |= {
        flag: f"r.{identifier(name)} is not null or coalesce({rules.required_unless[name]}, false)"
        for flag, name in given.items()
    }
    required = {evidence(c) for c in feed.columns if c.is_required} - set(rules.required_unless)
    needed = _needed(feed, rules, required, set(helpers))
    checks = _checks(feed, rules) | {
        name: [named_check(_code(column), pl.col(name))] for name, column in references.items()
    }
    checks |= {flag: [named_check("missing_value", pl.col(flag))] for flag in given}
    types = {name: _polars_type(typed[name]) for name in needed}
    types |= dict.fromkeys(helpers, pl.Boolean())
    columns = {
        name: pa.Column(dtype, checks.get(name, []), nullable=name not in required)
        for name, dtype in types.items()
    }
    reported = {evidence(c): c.name for c in feed.columns}
    reported |= {name: column.name for name, column in references.items()} | given
    reported |= {rule.code: rule.column for rule in rules.rules}
    return Contract(pa.DataFrameSchema(columns, name=feed.name), needed, helpers, reported)


def failures(schema: pa.DataFrameSchema, frame: pl.DataFrame) -> pl.DataFrame:
    """The rows that break the schema: row (position in the frame), rule_code, column_name.

    Raises:
        ContractFault: the frame does not have the schema's columns and types, or a check failed to
            run.
    """
    try:
        schema.validate(frame, lazy=True)
    except SchemaErrors as errors:
        cases: pl.DataFrame = errors.failure_cases
        faults = cases.filter(pl.col("index").is_null())
        if faults.height:
            raise ContractFault(f"{schema.name}: {faults.head(5).to_dicts()}") from errors
        return cases.select(
            pl.col("index").cast(pl.UInt32).alias("row"),
            pl.col("check").replace(_NOT_NULLABLE, "missing_value").alias("rule_code"),
            pl.col("column").alias("column_name"),
        )
    return pl.DataFrame(schema=_FAILURES)


def named_check(code: str, holds: pl.Expr) -> pa.Check:
    """A check that a rule holds in every row of the frame; null passes."""

    def select(data: PolarsData) -> pl.LazyFrame:
        return data.lazyframe.select(holds)

    return pa.Check(select, error=code, name=code)


def _needed(feed: Feed, rules: FeedRules, required: set[str], helpers: set[str]) -> tuple[str, ...]:
    read = {name for rule in rules.rules for name in rule.holds.meta.root_names()} - helpers
    read |= required | {c.name for c in feed.columns if c.allowed or c.below is not None}
    typed = [t.name for t in feed.typed_columns]
    if not read <= set(typed):
        raise ContractFault(f"{feed.name}: rules read no such column {sorted(read - set(typed))}")
    return tuple(name for name in typed if name in read)


def _checks(feed: Feed, rules: FeedRules) -> dict[str, list[pa.Check]]:
    """Checks by the column of the frame that they hang on: the first one that the rule reads."""
    checks: dict[str, list[pa.Check]] = {}
    for rule in rules.rules:
        first = rule.holds.meta.root_names()[0]
        checks.setdefault(first, []).append(named_check(rule.code, rule.holds))
    for column in feed.columns:
        if column.allowed:
            is_listed = pl.col(column.name).is_in(list(column.allowed))
            checks.setdefault(column.name, []).append(named_check("not_in_list", is_listed))
        if column.minimum is not None:
            is_enough = pl.col(column.name) >= column.minimum
            checks.setdefault(column.name, []).append(named_check("below_minimum", is_enough))
        if column.below is not None:
            is_possible = pl.col(column.name).abs() < column.below
            checks.setdefault(column.name, []).append(named_check("too_large", is_possible))
    return checks


def _code(column: Column) -> str:
    code = reference_rule(column)
    if code is None:
        raise ContractFault(f"column {column.name} refers to nothing")
    return code


_SCALARS: dict[str, Callable[[], pl.DataType]] = {
    "VARCHAR": pl.String,
    "BOOLEAN": pl.Boolean,
    "BIGINT": pl.Int64,
    "DATE": pl.Date,
    "TIMESTAMP": lambda: pl.Datetime("us"),
    "DECIMAL(18,2)": lambda: pl.Decimal(18, 2),
    "DECIMAL(18,4)": lambda: pl.Decimal(18, 4),
}


def _polars_type(sql_type: str) -> pl.DataType:
    return _SCALARS[sql_type]()
