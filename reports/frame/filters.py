"""What templates may do to text, and how a figure is put into a page."""

from functools import cache
from typing import Any

from markupsafe import Markup

from reports import words

#: The shape of each word that is printed as a mark.
_SHAPES = {
    "critical": "critical",
    "major": "major",
    "found": "major",
    "contradicted": "critical",
    "not proven": "major",
    "above list": "major",
    "billed not issued": "major",
    "issued not billed": "major",
    "swapped": "major",
    "over": "critical",
    "minor": "minor",
    "quantity differs": "minor",
    "not on list": "minor",
    "no list in force": "minor",
    "not listed": "minor",
    "checked": "checked",
    "passed": "checked",
    "proven": "checked",
    "agrees": "checked",
    "listed": "checked",
    "within": "checked",
    "not checked": "not-checked",
    "no events": "not-checked",
    "partly checked": "partly-checked",
    "not applicable": "not-applicable",
    "not sold": "not-applicable",
}


@cache
def mark(word: str, says: str = "") -> Markup:
    """A word of ours with its shape; ``says`` is printed in its place."""
    shape = _SHAPES.get(word, "info")
    return Markup(
        '<span class="mark"><svg class="shape" aria-hidden="true" width="16" height="16">'
        '<use href="#m-{}"/></svg>{}</span>'
    ).format(shape, says or word)


def script_json(text: str) -> Markup:
    """Figure JSON inside a script element: nothing in it may end the element or start a comment."""
    escaped = (
        text.replace("&", "\\u0026")
        .replace("<", "\\u003c")
        .replace(">", "\\u003e")
        .replace("\u2028", "\\u2028")
        .replace("\u2029", "\\u2029")
    )
    return Markup(escaped)


FILTERS: dict[str, Any] = {
    "mark": mark,
    "visible": words.visible,
    "script_json": script_json,
}
