"""One page and what hangs on it, written into an audience's folder."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

import polars as pl

from reports.audiences import Audience
from reports.charts.figure import Chart
from reports.content import Content
from reports.downloads import MOST_SHEET_ROWS, Downloads
from reports.frame import Issue, Place, render
from reports.frame.views import DownloadView, TableView, table_view
from reports.marks import Mark, State
from reports.tables import Listing
from reports.titles import Title
from reports.warehouse import Warehouse

#: Rows that one page prints in all its tables; more are in the downloads.
MOST_ROWS = 500
#: Size of one page; a browser on a slow line still shows it at once.
MOST_BYTES = 300_000


@dataclass(frozen=True)
class PublishedPage:
    """One page of the site: where it stands, audience, title with its facts, size in bytes."""

    path: Path
    audience: str
    title: Title
    urgency: Mark
    size: int


@dataclass(frozen=True)
class _Table:
    """A listing with the rows that fit, how many there are, and its files."""

    listing: Listing
    frame: pl.DataFrame
    total: int
    files: tuple[tuple[str, Path], ...]


@dataclass
class DocumentWriter:
    """``folder`` is where pages are built, ``site`` where they will stand. ``audience`` is None for
    the page that links the audiences."""

    warehouse: Warehouse
    audience: Audience | None
    folder: Path
    site: Path
    issue: Issue
    downloads: Downloads
    menu: tuple[tuple[str, str], ...]
    case_pages: Mapping[str, str]
    has_charts: bool = False
    _names: set[str] = field(default_factory=set)

    @property
    def root(self) -> Path:
        return self.folder / self.audience.slug if self.audience else self.folder

    def write(self, path: str, content: Content, missing: tuple[State, ...]) -> list[PublishedPage]:
        """The page at ``path`` in the audience's folder, and its children."""
        full = replace(content, missing=(*missing, *content.missing))
        tables = self._tables(path, full)
        text = self._fitting(path, full, tables)
        target = self.root / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8", newline="\n")
        blocks = [block for section in full.sections for block in section.blocks]
        self.has_charts |= any(isinstance(block, Chart) for block in blocks)
        page = PublishedPage(
            self.site / target.relative_to(self.folder),
            self.audience.slug if self.audience else "",
            content.title,
            content.urgency,
            len(text.encode()),
        )
        children = [
            made for name, child in content.children.items() for made in self.write(name, child, ())
        ]
        return [page, *children]

    def _fitting(self, path: str, content: Content, tables: list[_Table]) -> str:
        """The page with as many rows as its size allows."""
        text = ""
        for part in (1.0, 0.5, 0.25, 0.1):
            cut = [
                replace(t, frame=t.frame.head(max(10, int(t.frame.height * part)))) for t in tables
            ]
            text = self._rendered(path, content, cut)
            if len(text.encode()) <= MOST_BYTES:
                return text
        return text

    def _rendered(self, path: str, content: Content, tables: list[_Table]) -> str:
        root = "../" * path.count("/")
        nav = tuple((f"{root}{href}", name, href == path) for href, name in self.menu)
        views = {t.listing.slug: self._view(t, root) for t in tables}
        return render(content, Place(root, nav), self.issue, views)

    def _view(self, table: _Table, root: str) -> TableView:
        files = tuple(
            DownloadView(kind, root + path.relative_to(self.root).as_posix())
            for kind, path in table.files
        )
        too_long = self._has_sheets and table.files and table.total > MOST_SHEET_ROWS
        return table_view(
            table.listing,
            table.frame,
            table.total,
            self.warehouse,
            self._may_see_names,
            files,
            "Too many rows for a spreadsheet file." if too_long else "",
            lambda case: root + self.case_pages[case] if case in self.case_pages else None,
        )

    def _tables(self, path: str, content: Content) -> list[_Table]:
        left = MOST_ROWS
        made = []
        for section in content.sections:
            for block in section.blocks:
                if isinstance(block, Listing):
                    made.append(self._table(path, block, left))
                    left = max(10, left - made[-1].frame.height)
        return made

    def _table(self, path: str, listing: Listing, most: int) -> _Table:
        shown = min(listing.shown, most)
        if listing.rows is not None:
            return _Table(listing, listing.rows.head(shown), listing.rows.height, ())
        frame = self.warehouse.frame(f"{listing.sql} limit {shown}")
        total = frame.height
        if total == shown:
            total = self.warehouse.count(f"select count(*) from ({listing.sql})")
        files: tuple[tuple[str, Path], ...] = ()
        if listing.has_download:
            name = f"{path.removesuffix('.html').replace('/', '-')}-{listing.slug}"
            if name in self._names:
                raise ValueError(f"two tables of {path} are called {listing.slug}")
            self._names.add(name)
            files = self.downloads.write(
                listing, self.root / "downloads", name,
                listing.hidden_names(self._may_see_names), total, self._has_sheets,
            )  # fmt: skip
        return _Table(listing, frame, total, files)

    @property
    def _may_see_names(self) -> bool:
        return self.audience is not None and self.audience.may_see_names

    @property
    def _has_sheets(self) -> bool:
        return self.audience is not None and self.audience.has_spreadsheets
