"""One page and what hangs on it, written into an audience's folder."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from reports.audiences import PUBLIC, Audience
from reports.charts.figure import Chart
from reports.content import Content
from reports.downloads import MOST_ROWS, Downloads
from reports.frame import Issue, Place, render
from reports.frame.views import DownloadView, PreparedTable, TableView, table_view
from reports.marks import Mark, State
from reports.tables import Listing
from reports.titles import Title
from reports.warehouse import Warehouse

#: Size of one page; a browser on a slow line still shows it at once.
MOST_BYTES = 300_000
#: Files beside a table; a spreadsheet too where an audience reconciles by hand.
FILES = ("CSV", "Parquet")
SHEETS = (*FILES, "XLSX")


@dataclass(frozen=True)
class PublishedPage:
    """One page of the site: where it stands, audience, title with its facts, size in bytes."""

    path: Path
    audience: str
    title: Title
    urgency: Mark
    size: int


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
    names: set[str] = field(default_factory=set)

    @property
    def root(self) -> Path:
        return self.folder / self.audience.slug if self.audience else self.folder

    def write(
        self,
        path: str,
        content: Content,
        missing: tuple[State, ...],
        kinds: tuple[str, ...] = FILES,
    ) -> list[PublishedPage]:
        """The page at ``path`` in the audience's folder with files of ``kinds``, and its children.

        A child shows part of what its page has, so that one file for each table is enough there.
        """
        full = replace(content, missing=(*missing, *content.missing))
        text = self._fitting(path, full, self._tables(path, full, kinds))
        target = self.root / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8", newline="\n")
        self.has_charts |= any(isinstance(b, Chart) for s in full.sections for b in s.blocks)
        page = PublishedPage(
            self.site / target.relative_to(self.folder),
            self.audience.slug if self.audience else "",
            content.title,
            content.urgency,
            len(text.encode()),
        )
        children = [
            made
            for name, child in content.children.items()
            for made in self.write(name, child, (), kinds[:1])
        ]
        return [page, *children]

    def _fitting(self, path: str, content: Content, tables: list[PreparedTable]) -> str:
        """The page with as many rows as its size allows."""
        text = self._rendered(path, content, tables)
        size = len(text.encode())
        # A part of the rows is at least that part of the bytes: what cannot fit is not tried.
        parts = [part for part in (0.5, 0.25) if size * part <= MOST_BYTES]
        for part in (*parts, 0.1) if size > MOST_BYTES else ():
            cut = [
                replace(t, frame=t.frame.head(max(10, int(t.frame.height * part)))) for t in tables
            ]
            text = self._rendered(path, content, cut)
            if len(text.encode()) <= MOST_BYTES:
                break
        return text

    def _rendered(self, path: str, content: Content, tables: list[PreparedTable]) -> str:
        root = "../" * path.count("/")
        nav = tuple((f"{root}{href}", name, href == path) for href, name in self.menu)

        def case_page(case: str) -> str | None:
            return root + self.case_pages[case] if case in self.case_pages else None

        views = {
            t.listing.slug: table_view(t, self.warehouse, self._may_see_names, case_page, root)
            for t in tables
        }
        views = _told_once(views) if content.is_one_sheet else views
        return render(content, Place(root, nav, self.audience is PUBLIC), self.issue, views)

    def _tables(self, path: str, content: Content, kinds: tuple[str, ...]) -> list[PreparedTable]:
        left = MOST_ROWS
        made = []
        for section in content.sections:
            for block in section.blocks:
                if isinstance(block, Listing):
                    made.append(self._table(path, block, left, kinds))
                    left = max(10, left - made[-1].frame.height)
        return made

    def _table(
        self, path: str, listing: Listing, most: int, kinds: tuple[str, ...]
    ) -> PreparedTable:
        shown = min(listing.shown, most)
        if listing.rows is not None:
            return PreparedTable(listing, listing.rows.head(shown), listing.rows.height, (), "")
        name = f"{path.removesuffix('.html').replace('/', '-')}-{listing.slug}"
        if name in self.names:
            raise ValueError(f"two tables of {path} are called {listing.slug}")
        self.names.add(name)
        kinds = kinds if listing.has_download and self.audience else ()
        hidden = listing.hidden_names(self._may_see_names)
        taken = self.downloads.take(listing, self.root / "downloads" / name, hidden, kinds)
        root = "../" * path.count("/")
        views = tuple(
            DownloadView(kind, root + file.relative_to(self.root).as_posix())
            for kind, file in taken.files.items()
        )
        too_long = "XLSX" in kinds and "XLSX" not in taken.files
        note = "Too many rows for a spreadsheet file." if too_long else ""
        if kinds and not taken.files:
            note = "Too many rows for a file: ask the warehouse itself."
        return PreparedTable(
            listing, taken.head.head(shown), taken.total, views, note, taken.lines
        )

    @property
    def _may_see_names(self) -> bool:
        return self.audience is not None and self.audience.may_see_names


def _told_once(views: dict[str, TableView]) -> dict[str, TableView]:
    """What a code means is printed under the first table of a sheet that has it, and not again."""
    told: set[tuple[str, str]] = set()
    made = {}
    for slug, view in views.items():
        made[slug] = replace(view, has_told_codes=told.issuperset(view.codes))
        told.update(view.codes)
    return made
