"""The folder of each audience: its pages, then its start page and what they all need."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

from reports.assets import write_assets
from reports.audiences import AUDIENCES, Audience
from reports.case_pages import case_pages
from reports.content import Content
from reports.discover import FoundPage, pages
from reports.document import FILES, SHEETS, DocumentWriter, PublishedPage
from reports.downloads import Downloads
from reports.frame import Issue
from reports.issue import issue_of
from reports.missing import missing_lines
from reports.start import group_start, start_page
from reports.warehouse import Warehouse


@dataclass
class Made:
    """What has been made: the pages; by audience and page, what a start page shows of it; the
    audiences whose pages have charts; and the names of the files beside tables, by audience."""

    pages: list[PublishedPage] = field(default_factory=list)
    built: dict[tuple[str, str], Content] = field(default_factory=dict)
    charted: set[str] = field(default_factory=set)
    names: set[tuple[str, str]] = field(default_factory=set)

    def add(self, other: "Made") -> None:
        """Raises ValueError where two tables would have one file."""
        if twice := self.names & other.names:
            raise ValueError(f"tables of two pages have one name: {sorted(twice)}")
        self.pages += other.pages
        self.built |= other.built
        self.charted |= other.charted
        self.names |= other.names


@dataclass
class Folders:
    """Builds in ``folder`` what will stand in ``site``."""

    warehouse: Warehouse
    folder: Path
    site: Path
    made: Made = field(default_factory=Made)
    _writers: dict[str, DocumentWriter] = field(default_factory=dict)

    def make(self, found: Iterable[FoundPage]) -> Made:
        """Each page for each of its audiences, so that a table of several is read once."""
        for f in found:
            for audience in (a for a in AUDIENCES.values() if a in f.page.audiences):
                self._make(f, audience)
        return self.made

    def finish(self) -> list[PublishedPage]:
        """The start pages, and beside them what the pages need; then every page is made."""
        starts = [(audience, self._start(audience)) for audience in AUDIENCES.values()]
        everyone = DocumentWriter(
            self.warehouse, None, self.folder, self.site, self._issue, self._downloads, (), {}
        )
        self.made.pages += everyone.write("index.html", group_start(starts), ())
        write_assets(self.folder, self._issue, has_charts=False)
        return self.made.pages

    def _make(self, f: FoundPage, audience: Audience) -> None:
        writer = self._writer(audience)
        content = f.build(self.warehouse, audience)
        missing = missing_lines(self.warehouse, f.page)
        has_sheets = audience.has_spreadsheets and f.page.has_spreadsheets
        kinds = SHEETS if has_sheets else FILES
        self.made.pages += writer.write(f"{f.page.slug}.html", content, missing, kinds)
        self.made.built[audience.slug, f.page.slug] = replace(content, sections=(), children={})
        self.made.names |= {(audience.slug, name) for name in writer.names}
        if writer.has_charts:
            self.made.charted.add(audience.slug)

    def _start(self, audience: Audience) -> Content:
        built = [(f, self.made.built[audience.slug, f.page.slug]) for f in _pages_of(audience)]
        start = start_page(audience, built)
        self.made.pages += self._writer(audience).write("index.html", start, ())
        has_charts = audience.slug in self.made.charted
        write_assets(self.folder / audience.slug, self._issue, has_charts=has_charts)
        return start

    def _writer(self, audience: Audience) -> DocumentWriter:
        if audience.slug not in self._writers:
            self._writers[audience.slug] = self._new_writer(audience)
        return self._writers[audience.slug]

    def _new_writer(self, audience: Audience) -> DocumentWriter:
        menu = (
            ("index.html", "Start"),
            *((f"{f.page.slug}.html", f.page.name) for f in _pages_of(audience)),
        )
        sheets = self._sheets if audience.has_case_sheets else {}
        return DocumentWriter(
            self.warehouse, audience, self.folder, self.site, self._issue, self._downloads,
            menu, sheets,
        )  # fmt: skip

    @cached_property
    def _issue(self) -> Issue:
        return issue_of(self.warehouse)

    @cached_property
    def _downloads(self) -> Downloads:
        return Downloads(self.warehouse)

    @cached_property
    def _sheets(self) -> dict[str, str]:
        return case_pages(self.warehouse)


def _pages_of(audience: Audience) -> list[FoundPage]:
    return [f for f in pages() if audience in f.page.audiences]
