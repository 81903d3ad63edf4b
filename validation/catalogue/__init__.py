"""The rules, each with its sentence, its mend, its source and its proof.

One TOML file per family in this folder; a new rule is a new table in one of them.
"""

from functools import cache
from pathlib import Path

import polars as pl

from validation.catalogue.read import CatalogueError, read_family
from validation.catalogue.rule import Edit, Effect, Example, Rule, Severity

__all__ = [
    "CatalogueError",
    "Edit",
    "Effect",
    "Example",
    "Rule",
    "Severity",
    "catalogue",
    "needs_frame",
    "rules_frame",
]

FOLDER = Path(__file__).parent
_TEXT = pl.String()


@cache
def catalogue() -> dict[str, Rule]:
    """Every rule by its code, families in the order of their file names.

    Raises:
        CatalogueError: an entry is not whole, or two have one code.
    """
    rules: dict[str, Rule] = {}
    for path in sorted(FOLDER.glob("*.toml")):
        for rule in read_family(path):
            if rule.code in rules:
                raise CatalogueError(
                    f"{path.name} [{rule.code}]: the family {rules[rule.code].family} has it too"
                )
            rules[rule.code] = rule
    return rules


def rules_frame() -> pl.DataFrame:
    """``quality.rules``: one row per rule (rule_code, family, severity, effect, says, mend,
    mended_by, act_within, source, citation, twin, model, is_dated_by_day)."""
    columns = ("family", "severity", "effect", "says", "mend", "mended_by", "act_within", "source",
               "citation", "twin", "model")  # fmt: skip
    rows = [
        (rule.code, *(_plain(getattr(rule, name)) for name in columns), rule.is_dated_by_day)
        for rule in catalogue().values()
    ]
    schema = {**dict.fromkeys(("rule_code", *columns), _TEXT), "is_dated_by_day": pl.Boolean()}
    return pl.DataFrame(rows, schema=schema, orient="row")


def needs_frame() -> pl.DataFrame:
    """One row per column that a rule needs (rule_code, feed, column_name)."""
    rows = [(rule.code, *need) for rule in catalogue().values() for need in rule.needs]
    return pl.DataFrame(rows, schema=dict.fromkeys(("rule_code", "feed", "column_name"), _TEXT),
                        orient="row")  # fmt: skip


def _plain(value: str | None) -> str | None:
    return None if value is None else str(value)
