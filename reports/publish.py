"""From a warehouse to a site: every page of every audience, built beside, then swapped in."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from reports.assets import write_assets
from reports.audiences import AUDIENCES, COMPLIANCE, Audience
from reports.case_pages import case_pages, sheet_path
from reports.case_sheet import case_sheets
from reports.content import Content
from reports.discover import FoundPage, pages
from reports.document import FILES, SHEETS, DocumentWriter, PublishedPage
from reports.downloads import Downloads
from reports.issue import issue_of
from reports.missing import missing_lines
from reports.start import group_start, start_page
from reports.swap import MARKER, SiteNotWritable, building_folder, close_modes, swap
from reports.warehouse import Warehouse


def publish(warehouse: Path, site: Path, *, as_of: datetime) -> list[PublishedPage]:
    """Build all pages from the marts of ``warehouse`` and put them in the place of ``site``.

    ``as_of`` is the instant that the marts were built for (naive is read as UTC). The same
    warehouse and instant give the same bytes. Returns the pages by path.

    Raises:
        WarehouseNotReadable, SiteNotWritable: with what to do; the site is then as it was.
    """
    with prepared(warehouse, site, as_of=as_of) as made:
        return made


@contextmanager
def prepared(warehouse: Path, site: Path, *, as_of: datetime) -> Iterator[list[PublishedPage]]:
    """Build the pages beside the site; show them when the block ends without an error.

    A run swaps its warehouse inside the block, so that pages and warehouse change together.
    """
    site = site.resolve()
    with Warehouse(warehouse, as_of) as opened:
        folder = building_folder(site)
        try:
            made = _build(opened, folder, site)
        except BaseException:
            shutil.rmtree(folder, ignore_errors=True)
            raise
    (folder / MARKER).write_text("Pages made by ledgerstone; the folder is replaced whole.\n")
    close_modes(folder)
    try:
        yield sorted(made, key=lambda page: page.path)
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise
    swap(folder, site)


def _build(warehouse: Warehouse, folder: Path, site: Path) -> list[PublishedPage]:
    issue = issue_of(warehouse)
    downloads = Downloads(warehouse)
    made: list[PublishedPage] = []
    starts: list[tuple[Audience, Content]] = []
    for audience in AUDIENCES.values():
        found = [f for f in pages() if audience in f.page.audiences]
        sheets = case_pages(warehouse) if audience.has_case_sheets else {}
        writer = DocumentWriter(
            warehouse, audience, folder, site, issue, downloads, _menu(found), sheets
        )
        built = [(f, f.build(warehouse, audience)) for f in found]
        for f, content in built:
            missing = missing_lines(warehouse, f.page)
            has_sheets = audience.has_spreadsheets and f.page.has_spreadsheets
            kinds = SHEETS if has_sheets else FILES
            made.extend(writer.write(f"{f.page.slug}.html", content, missing, kinds))
        start = start_page(audience, built)
        starts.append((audience, start))
        made.extend(writer.write("index.html", start, ()))
        write_assets(folder / audience.slug, issue, has_charts=writer.has_charts)
    writer = DocumentWriter(warehouse, None, folder, site, issue, downloads, (), {})
    made.extend(writer.write("index.html", group_start(starts), ()))
    write_assets(folder, issue, has_charts=False)
    return made


def publish_sheet(
    warehouse: Path, folder: Path, case_number: str, *, as_of: datetime
) -> Path | None:
    """One case's sheet with what it needs, in ``folder``; its path, or None for an unknown case.

    Any case, also one that nothing is wrong with; the pages have the most urgent ones. Sheets of
    several cases may go into one folder.

    Raises:
        SiteNotWritable: nothing can be written there.
    """
    path = sheet_path(case_number)
    with Warehouse(warehouse, as_of) as opened:
        sheets = case_sheets(opened, {case_number: path})
        if not sheets:
            return None
        issue = issue_of(opened)
        writer = DocumentWriter(
            opened, COMPLIANCE, folder, folder, issue, Downloads(opened), (), {}
        )  # fmt: skip
        try:
            (page,) = writer.write(path, sheets[path], ())
            write_assets(folder / COMPLIANCE.slug, issue, has_charts=writer.has_charts)
            close_modes(folder / COMPLIANCE.slug)
        except OSError as error:
            raise SiteNotWritable(
                f"The sheet cannot be written into {folder}: {error.strerror or error}. Name a "
                "folder in which this account may write."
            ) from error
    return page.path


def _menu(found: list[FoundPage]) -> tuple[tuple[str, str], ...]:
    return (("index.html", "Start"), *((f"{f.page.slug}.html", f.page.name) for f in found))
