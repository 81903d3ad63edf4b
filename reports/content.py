"""What a page is made of. Pages say what; ``reports.frame`` says how it looks."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from reports.audiences import Audience
from reports.charts.figure import Chart
from reports.marks import Mark, State
from reports.tables import Listing
from reports.titles import Title


@dataclass(frozen=True)
class Paragraph:
    text: str


@dataclass(frozen=True)
class Links:
    """A list of links: (address within the audience's folder, words, mark or none)."""

    items: tuple[tuple[str, str, Mark | None], ...]


@dataclass(frozen=True)
class Facts:
    """Names and values of one thing, as a description list; values of a person are marked."""

    items: tuple[tuple[str, str], ...]


Block = State | Paragraph | Links | Facts | Listing | Chart


@dataclass(frozen=True)
class Section:
    heading: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Content:
    """One page as built: its answer, and what stands under it.

    ``lead`` is what the audience's start page begins with. ``is_one_sheet``: printed small, on one
    sheet of paper, without sources and definitions; the screen has them.
    """

    title: Title
    subtitle: str
    urgency: Mark
    sections: tuple[Section, ...]
    definitions: tuple[tuple[str, str], ...] = ()
    cautions: tuple[str, ...] = ()
    missing: tuple[State, ...] = ()
    children: Mapping[str, "Content"] = field(default_factory=dict)
    lead: Section | None = None
    is_one_sheet: bool = False


def links_to(sheets: Mapping[str, Content]) -> Links:
    """A link to each child page by its title."""
    return Links(tuple((path, sheet.title.text, None) for path, sheet in sheets.items()))


@dataclass(frozen=True)
class Page:
    """What a module of ``reports/pages`` declares as ``PAGE``.

    ``feeds`` are the feeds whose gaps would touch the page's figures, ``families`` the rule
    families it shows; the frame prints what of them is missing before the first figure.
    ``has_spreadsheets``: its tables are reconciled by hand, so who works in spreadsheets gets XLSX.
    """

    slug: str
    name: str
    question: str
    audiences: tuple[Audience, ...]
    marts: tuple[str, ...]
    feeds: tuple[str, ...]
    families: tuple[str, ...] = ()
    order: int = 50
    has_spreadsheets: bool = False
