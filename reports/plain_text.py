"""Text made harmless for a spreadsheet. Numbers are never touched: text columns only."""

import polars as pl

from reports import words

#: Marks that a reader does not see but that a page or a spreadsheet obeys (``words.visible``).
_MARKS = r"[\p{Cc}\p{Cf}\p{Co}\p{Cn}\p{Zl}\p{Zp}]"
#: Characters that start a formula in common spreadsheets, with their full-width twins
#: (OWASP, CSV Injection: = + - @ tab carriage-return; full-width forms in the same list).
_FORMULA = r"^\s*[=+\-@＝＋－＠]"
#: Only text that matches can hold a mark or start a formula: one look settles most columns.
_DOUBTFUL = r"^[ =+\-@]|[^ -~]"


def shown(frame: pl.DataFrame) -> pl.DataFrame:
    """Each control or direction mark in a text column as its visible code."""
    return frame.with_columns(_shown(frame[name]) for name in _doubtful(frame))


def harmless(frame: pl.DataFrame) -> pl.DataFrame:
    """``shown``, and an apostrophe before text that a spreadsheet would run as a formula."""
    doubtful = _doubtful(frame)
    if not doubtful:
        return frame
    text = pl.col(doubtful)
    return frame.with_columns(_shown(frame[name]) for name in doubtful).with_columns(
        pl.when(text.str.contains(_FORMULA)).then("'" + text).otherwise(text).name.keep()
    )


def _doubtful(frame: pl.DataFrame) -> list[str]:
    """The text columns that have to be read closely."""
    found = frame.select(pl.col(pl.String).str.contains(_DOUBTFUL).any())
    return [column.name for column in found if column.any()]


def _shown(column: pl.Series) -> pl.Series:
    """Only the few distinct values with a mark are looked at letter by letter."""
    marked = column.filter(column.str.contains(_MARKS).fill_null(False)).unique()
    if marked.is_empty():
        return column
    return column.replace({text: words.visible(text) for text in marked.to_list()})
