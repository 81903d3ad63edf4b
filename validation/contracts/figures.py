"""Figures as a clerk writes them, for what a reject says."""

from pipelines.feeds import Column, Form
from pipelines.sqltext import identifier


def quantity_text(value: str) -> str:
    """SQL: a decimal without the zeros at its end."""
    return f"rtrim(rtrim(cast({value} as varchar), '0'), '.')"


def price_text(value: str) -> str:
    """SQL: an amount with two decimals, or the up to four of a rate."""
    cents = f"cast({value} as decimal(18, 2))"
    return (
        f"case when {value} = {cents} then cast({cents} as varchar) "
        f"else {quantity_text(value)} end"
    )


def typed_text(column: Column) -> str:
    """SQL of the value of a column of the typed record ``r``."""
    value = f"r.{identifier(column.typed_columns[0].name)}"
    if column.form is Form.COST:
        return price_text(value)
    if column.form in {Form.QUANTITY, Form.NUMBER}:
        return quantity_text(value)
    return f"cast({value} as varchar)"
