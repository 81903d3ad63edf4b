"""Factors of the units that a source declares for its columns."""

from decimal import Decimal
from pathlib import Path

import duckdb

from pipelines.errors import LedgerstoneError
from pipelines.feeds import Feed
from pipelines.sources import Reading

#: The factors that come with the program.
UNIT_FACTORS = Path(__file__).parents[1] / "reference" / "unit_factors.csv"


class UnitError(LedgerstoneError):
    """A source declares a unit that cannot be converted into the column's own."""


def unit_factors(con: duckdb.DuckDBPyConnection, feed: Feed, how: Reading) -> dict[str, str]:
    """Column -> what a number in the declared unit is multiplied with, eight decimals.

    Raises:
        UnitError: the unit, or the column's own, has no factor in ``unit_factors``.
    """
    if not how.units:
        return {}
    known = {
        unit: (base, Decimal(factor))
        for unit, base, factor in con.execute(
            "select unit, base_unit, cast(factor as varchar) from accepted.unit_factors"
        ).fetchall()
    }
    factors = {}
    for name, theirs in how.units.items():
        # The declaration writes units as people do (mL), the factors as codes (ml).
        ours = (feed.column(name).unit or "").lower()
        if theirs not in known or ours not in known or known[theirs][0] != known[ours][0]:
            raise UnitError(
                f"The settings say that {feed.name}.{name} is in {theirs!r}; that cannot be "
                f"converted into {feed.column(name).unit!r}.",
                f"Use one of the units with a factor: {', '.join(sorted(known))}.",
            )
        factors[name] = str(round(known[theirs][1] / known[ours][1], 8))
    return factors
