"""How small a table has to be printed for its words to stay whole on a sheet of paper."""

import re
from collections.abc import Sequence

from reports.cells import Cell

#: Between the margins of an A4 sheet, in CSS pixels: 180 mm at 96 an inch.
_SHEET = 680
#: Pixels of a wide letter of a common sans font, of the space beside a column and of a shape.
_LETTER, _SMALL_LETTER, _BESIDE, _SHAPE = 7.6, 6.1, 6, 22
#: Where a line may end: at a space, after a mark inside a code or a file's name, never in a time.
_ENDS = re.compile(r"\s+|(?<=[_/])|(?<=:)(?!\d)|(?<=-)(?=[^\d\s])")
_INSIDE = re.compile(r"(?<=\w)([_/]|(?<!\d):|:(?!\d))(?=\w)")


def breakable(text: str) -> str:
    """Escaped text with a place to end a line after each mark inside a long code or name."""
    return _INSIDE.sub(r"\1<wbr>", text) if len(text) > 12 else text


def paper_class(headings: Sequence[str], css: Sequence[str], columns: Sequence[list[Cell]]) -> str:
    """Class of page.css: none where the words fit in common type, ``tight`` where they fit in
    small type, ``broken`` where some have to be broken."""
    letters = shapes = 0
    for heading, kind, cells in zip(headings, css, columns, strict=True):
        longest = max((_longest(cell, kind) for cell in cells), default=0)
        letters += max(longest, *(len(part) for part in _ENDS.split(heading)))
        shapes += any(cell.mark for cell in cells) + 2 * any(cell.bar is not None for cell in cells)
    others = _BESIDE * len(css) + _SHAPE * shapes
    if letters * _LETTER + others <= _SHEET:
        return ""
    return "tight" if letters * _SMALL_LETTER + others <= _SHEET else "broken"


def _longest(cell: Cell, kind: str) -> int:
    """Letters of the longest part of a cell that stays on one line."""
    if cell.time:
        return max(len(part) for part in cell.time)
    if cell.mark or kind in {"n", "i"}:
        return len(cell.text)
    return max(len(part) for part in _ENDS.split(cell.text))
