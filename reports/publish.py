"""From a warehouse to a site: every page of every audience, built beside, then swapped in."""

from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from reports.assets import write_assets
from reports.audiences import AUDIENCES, Audience
from reports.case_pages import case_pages
from reports.content import Content
from reports.discover import FoundPage, pages
from reports.document import DocumentWriter, PublishedPage
from reports.downloads import Downloads
from reports.issue import issue_of
from reports.missing import missing_lines
from reports.start import group_start, start_page
from reports.swap import MARKER, building_folder, close_modes, swap
from reports.warehouse import Warehouse


@dataclass(frozen=True)
class PreparedSite:
    """Pages built beside the site; ``swap_in`` shows them."""

    folder: Path
    site: Path
    pages: list[PublishedPage] = field(default_factory=list)

    def swap_in(self) -> None:
        """Raises SiteNotWritable where the site cannot be replaced; the old one then stays."""
        swap(self.folder, self.site)


def publish(warehouse: Path, site: Path, *, as_of: datetime) -> list[PublishedPage]:
    """Build all pages from the marts of ``warehouse`` and put them in the place of ``site``.

    ``as_of`` is the instant that the marts were built for (naive is read as UTC). The same
    warehouse and instant give the same bytes. Returns the pages by path.

    Raises WarehouseNotReadable, SiteNotWritable; the site is then as it was.
    """
    prepared = prepare(warehouse, site, as_of=as_of)
    prepared.swap_in()
    return prepared.pages


def prepare(warehouse: Path, site: Path, *, as_of: datetime) -> PreparedSite:
    """Build the pages beside ``site`` without showing them (for a run that swaps its parts last)."""
    site = site.resolve()
    with Warehouse(warehouse, as_of) as opened:
        folder = building_folder(site)
        made = _build(opened, folder)
    (folder / MARKER).write_text("Pages made by ledgerstone; the folder is replaced whole.\n")
    close_modes(folder)
    return PreparedSite(folder, site, sorted(made, key=lambda page: page.path))


def _build(warehouse: Warehouse, folder: Path) -> list[PublishedPage]:
    issue = issue_of(warehouse)
    downloads = Downloads(warehouse)
    made: list[PublishedPage] = []
    starts: list[tuple[Audience, Content]] = []
    for audience in AUDIENCES.values():
        root = folder / audience.slug
        found = [f for f in pages() if audience in f.page.audiences]
        writer = DocumentWriter(
            warehouse, audience, folder, issue, downloads, _menu(found), case_pages(warehouse)
        )
        built = [(f, f.build(warehouse, audience)) for f in found]
        for f, content in built:
            made.extend(writer.write(f"{f.page.slug}.html", content, missing_lines(warehouse, f.page)))
        start = start_page(audience, built)
        starts.append((audience, start))
        made.extend(writer.write("index.html", start, ()))
        write_assets(root, issue, has_charts=writer.has_charts)
    writer = DocumentWriter(warehouse, None, folder, issue, downloads, (), {})
    made.extend(writer.write("index.html", group_start(starts), ()))
    write_assets(folder, issue, has_charts=False)
    return made


def _menu(found: list[FoundPage]) -> tuple[tuple[str, str], ...]:
    return (("index.html", "Start"), *((f"{f.page.slug}.html", f.page.name) for f in found))
