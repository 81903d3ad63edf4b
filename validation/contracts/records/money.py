"""What every line of money keeps: total = quantity times price."""

import polars as pl

from validation.contracts.figures import price_text, quantity_text
from validation.contracts.records.rule import RecordRule


def line_total_helper(price: str) -> str:
    """SQL: is the total the product to the cent, whichever way half a cent was rounded?

    Exact in decimals: 18,4 times 18,4 needs 38,8.
    """
    product = f"cast(r.quantity as decimal(19,4)) * cast(r.{price} as decimal(19,4))"
    return f"abs({product} - cast(r.line_total as decimal(38,8))) <= 0.005"


def line_total_rule(price: str) -> RecordRule:
    return RecordRule(
        "line_total_wrong",
        "line_total",
        pl.col("is_total_right"),
        f"{quantity_text('r.quantity')} || ' times ' || {price_text(f'r.{price}')} || ' is '"
        f" || cast(round(cast(r.quantity as decimal(19,4)) * cast(r.{price} as decimal(19,4)), 2)"
        " as varchar) || '.'",
    )
