"""From a warehouse to a site: every page of every audience, built beside, then swapped in."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from pipelines.processes import can_start
from reports.assets import write_assets
from reports.audiences import COMPLIANCE
from reports.case_pages import sheet_path
from reports.case_sheet import case_sheets
from reports.discover import pages
from reports.document import DocumentWriter, PublishedPage
from reports.downloads import Downloads
from reports.folders import Folders
from reports.issue import issue_of
from reports.second import second_process
from reports.swap import MARKER, SiteNotWritable, building_folder, close_modes, swap
from reports.warehouse import Warehouse


def publish(
    warehouse: Path, site: Path, *, as_of: datetime, processes: int = 0
) -> list[PublishedPage]:
    """Build all pages from the marts of ``warehouse`` and put them in the place of ``site``.

    ``as_of`` is the instant that the marts were built for (naive is read as UTC). The same
    warehouse and instant give the same bytes. ``processes``: 1 or 2; 0 is as many of them as the
    machine has processors. Returns the pages by path.

    Raises:
        WarehouseNotReadable, SiteNotWritable: with what to do; the site is then as it was.
    """
    with prepared(warehouse, site, as_of=as_of, processes=processes) as made:
        return made


@contextmanager
def prepared(
    warehouse: Path, site: Path, *, as_of: datetime, processes: int = 0
) -> Iterator[list[PublishedPage]]:
    """Build the pages beside the site; show them when the block ends without an error.

    A run swaps its warehouse inside the block, so that pages and warehouse change together.
    ``processes``: as for ``publish``.
    """
    site = site.resolve()
    processes = processes or _processes()
    with Warehouse(warehouse, as_of, shares=processes) as opened:
        folder = building_folder(site)
        try:
            made = _build(opened, folder, site, processes)
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


def _build(warehouse: Warehouse, folder: Path, site: Path, processes: int) -> list[PublishedPage]:
    folders = Folders(warehouse, folder, site)
    if processes < 2:
        folders.make(pages())
        return folders.finish()
    with second_process(warehouse.path, warehouse.as_of, folder, site) as second:
        folders.make(second.work.pages())
        folders.made.add(second.result())
        return folders.finish()


def _processes() -> int:
    """Two where the machine has two processors for this program, else one."""
    if not can_start():
        return 1
    try:
        free = len(os.sched_getaffinity(0))
    except AttributeError:  # not a system call everywhere
        free = os.cpu_count() or 1
    return min(free, 2)


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
