"""Table cells as HTML, read back by a parser: whatever a file says stays text."""

from html.parser import HTMLParser

import pytest

from reports.cells import Cell
from reports.frame.rows import body

HOSTILE = "</td><script>alert(\"1\")</script><img src='x' onerror='y'>&amp;"


class _Read(HTMLParser):
    """The elements with their attributes, and all text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text += data

    @property
    def tags(self) -> list[str]:
        return [tag for tag, _ in self.elements]


def read(cell: Cell, *, is_ours: bool = False, anchor: str | None = None) -> _Read:
    return _Read(str(body([anchor], [[cell]], ["k"], [is_ours])))


@pytest.mark.parametrize(
    ("cell", "tags"),
    [
        (Cell(HOSTILE), ["tr", "th", "bdi"]),
        (Cell(HOSTILE, is_code=True), ["tr", "th", "span"]),
        (Cell(HOSTILE, href="cases/a.html"), ["tr", "th", "a"]),
        (Cell(HOSTILE, bar=(0.5, 1.0)), ["tr", "th", "span", "svg", "rect", "path"]),
    ],
)
def test_text_of_a_file_opens_no_element(cell: Cell, tags: list[str]) -> None:
    found = read(cell)
    assert found.tags == tags
    assert found.text == HOSTILE + "\n"


def test_attributes_end_where_they_should() -> None:
    found = read(Cell("x", sort=HOSTILE, href='a" onclick="y'), anchor='t" onclick="y')
    assert [attributes for _, attributes in found.elements] == [
        {"id": 't" onclick="y'},
        {"scope": "row", "class": "k", "data-sort": HOSTILE},
        {"href": 'a" onclick="y'},
    ]


def test_only_the_first_column_heads_its_row() -> None:
    found = _Read(
        str(body([None, None], [[Cell("a")] * 2, [Cell("b")] * 2], ["i", "n"], [True] * 2))
    )
    assert found.tags == ["tr", "th", "td"] * 2
    assert found.text == "ab\nab\n"


def test_a_bar_has_a_tick_only_at_a_limit() -> None:
    assert "path" not in read(Cell("1", bar=(1.0, None))).tags
    drawn = dict(read(Cell("1", bar=(0.5, 1.0))).elements)
    assert drawn["rect"]["width"] == "39.0"
    assert drawn["path"]["d"] == "M78.0 0v12"


def test_a_day_and_its_clock_stay_whole() -> None:
    found = read(Cell("2026-11-16 06:00 -06:00", time=("2026-11-16", "06:00 -06:00")), is_ours=True)
    assert found.tags == ["tr", "th", "span", "span"]
    assert found.text == "2026-11-16 06:00 -06:00\n"
