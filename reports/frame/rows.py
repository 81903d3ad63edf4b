"""The body of a table as HTML.

Written here and not in the template, because a site has some hundred thousand cells and the
template engine spends most of its time on them. Whatever comes from a file goes through ``escape``.
"""

from collections.abc import Sequence
from html import escape

from markupsafe import Markup

from reports.cells import Cell
from reports.frame.filters import mark
from reports.frame.paper import breakable

#: Pixels of the longest bar.
_BAR = 78


def body(
    anchors: Sequence[str | None],
    printed: Sequence[Sequence[Cell]],
    css: Sequence[str],
    is_ours: Sequence[bool],
) -> Markup:
    """One line of HTML for each row. ``printed``, ``css`` and ``is_ours`` are by column.

    ``css``: the column's class. ``is_ours``: its text is made by our code alone and needs no
    isolation from text that runs the other way. The first column heads its row.
    """
    columns = [
        [_cell(cell, _opening("td" if place else "th", css[place]), ours) for cell in cells]
        for place, (cells, ours) in enumerate(zip(printed, is_ours, strict=True))
    ]
    lines = [f'<tr id="{escape(anchor)}">' if anchor else "<tr>" for anchor in anchors]
    rows = zip(lines, *columns, strict=True)
    return Markup("".join("".join((*row, "</tr>\n")) for row in rows))


def _opening(tag: str, css: str) -> tuple[str, str]:
    scope = ' scope="row"' if tag == "th" else ""
    return f'<{tag}{scope} class="{css}"', f"</{tag}>"


def _cell(cell: Cell, tag: tuple[str, str], is_ours: bool) -> str:
    start, end = tag
    sort = "" if cell.sort is None else f' data-sort="{escape(cell.sort)}"'
    return f"{start}{sort}>{_inside(cell, is_ours)}{end}"


def _inside(cell: Cell, is_ours: bool) -> str:
    text = escape(cell.text)
    if cell.mark:
        return mark(cell.mark)
    if cell.is_code:
        return f'<span class="code">{text}</span>'
    if cell.bar:
        return f'<span class="bar">{text}{_bar(*cell.bar)}</span>'
    if cell.time:
        day, clock = cell.time
        return f'<span class="k">{escape(day)}</span> <span class="k">{escape(clock)}</span>'
    if cell.href:
        return f'<a href="{escape(cell.href)}">{text}</a>'
    return text if is_ours else f"<bdi>{breakable(text)}</bdi>"


def _bar(part: float, limit: float | None) -> str:
    tick = (
        ""
        if limit is None
        else f'<path d="M{limit * _BAR:.1f} 0v12" stroke="#1a1a1a" stroke-width="2"/>'
    )
    return (
        '<svg width="80" height="12" aria-hidden="true">'
        f'<rect y="2" height="8" width="{part * _BAR:.1f}" fill="#595959"/>{tick}</svg>'
    )
