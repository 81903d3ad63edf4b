"""Content in, one HTML page out."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined

from reports.charts.figure import Chart
from reports.content import Block, Content, Facts, Links
from reports.frame.filters import FILTERS
from reports.frame.views import TableView
from reports.marks import State
from reports.tables import Listing

#: Measured with the bundled plotly script: every chart is drawn, one harmless console line about
#: map
#: styles. The hash is that of the empty style element which the script adds at its start; styles
#: on elements are needed for its text. Nothing is fetched from anywhere (default-src 'none').
POLICY = (
    "default-src 'none'; script-src 'self'; "
    "style-src-elem 'self' 'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='; "
    "style-src-attr 'unsafe-inline'; img-src 'self' data: blob:; base-uri 'none'; "
    "form-action 'none'"
)
#: Drawn at once; more make a page slow and no reader looks at them.
MOST_CHARTS = 6


@dataclass(frozen=True)
class Issue:
    """When the figures are from; ``short`` stands at the foot of every printed sheet, and
    ``public_line`` on pages for anyone."""

    line: str
    short: str
    public_line: str


@dataclass(frozen=True)
class Place:
    """Where a page stands in its audience's folder: the way back to its root, and the menu."""

    root: str
    nav: tuple[tuple[str, str, bool], ...]
    is_public: bool = False


@cache
def environment() -> Environment:
    made = Environment(
        loader=PackageLoader("reports.frame"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters.update(FILTERS)
    return made


def render(content: Content, place: Place, issue: Issue, views: Mapping[str, TableView]) -> str:
    """The page. ``views`` holds the prepared table of each listing by slug."""
    charts = [b for s in content.sections for b in s.blocks if isinstance(b, Chart)]
    if len(charts) > MOST_CHARTS:
        raise ValueError(f"{content.title.text!r}: {len(charts)} charts, at most {MOST_CHARTS}")
    sections = [
        {"heading": s.heading, "blocks": [_named(block, views) for block in s.blocks]}
        for s in content.sections
    ]
    return (
        environment()
        .get_template("page.html")
        .render(
            policy=POLICY,
            title=content.title,
            subtitle=content.subtitle,
            as_of=issue.public_line if place.is_public else issue.line,
            missing=content.missing,
            cautions=content.cautions,
            sections=sections,
            definitions=content.definitions,
            root=place.root,
            nav=place.nav,
            is_one_sheet=content.is_one_sheet,
            has_table=bool(views),
            has_chart=bool(charts),
            captions={slug: view.caption for slug, view in views.items()},
        )
    )


def _named(block: Block, views: Mapping[str, TableView]) -> tuple[str, object]:
    match block:
        case Listing():
            return "table", views[block.slug]
        case Chart():
            return "chart", block
        case State():
            return "state", block
        case Links():
            return "links", block
        case Facts():
            return "facts", block
        case _:
            return "paragraph", block
