"""A small site with hostile text, and a real browser without a network."""

import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import duckdb
import pytest
from playwright.sync_api import (
    Browser,
    BrowserContext,
    ConsoleMessage,
    Dialog,
    Page,
    sync_playwright,
)

from reports import PublishedPage, publish
from tests.reports.small_warehouse import AS_OF, make

#: plotly adds styles for maps, which no page has; the policy refuses them and nothing else is said.
HARMLESS = (
    "Applying inline style violates the following Content Security Policy directive "
    "'style-src-elem 'self' 'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=''."
)


@dataclass(frozen=True)
class Site:
    """A published site, its warehouse and its pages."""

    warehouse: Path
    folder: Path
    pages: list[PublishedPage]

    def texts(self, audience: str) -> dict[str, str]:
        """Every text file of an audience's folder by its path; plotly's own script left out."""
        files = sorted((self.folder / audience).rglob("*"))
        return {
            path.relative_to(self.folder).as_posix(): path.read_text(encoding="utf-8")
            for path in files
            if path.suffix in {".html", ".csv", ".css", ".js"} and path.name != "plotly.min.js"
        }


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Site:
    folder = tmp_path_factory.mktemp("small")
    warehouse = make(folder / "warehouse.duckdb")
    pages = publish(warehouse, folder / "site", as_of=AS_OF)
    return Site(warehouse, folder / "site", pages)


@pytest.fixture(scope="session")
def small_rows(small: Site) -> Iterator[duckdb.DuckDBPyConnection]:
    with duckdb.connect(str(small.warehouse), read_only=True) as connection:
        yield connection


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    names = (os.environ.get("CHROMIUM", ""), "chromium", "chromium-browser", "google-chrome")
    found = next((path for name in names if name and (path := shutil.which(name))), None)
    if found is None:
        pytest.fail(
            "The pages are tested in a real browser and none was found. Install one: "
            "apt-get install chromium (Debian), or name one in the variable CHROMIUM."
        )
    with sync_playwright() as driver:
        opened = driver.chromium.launch(
            executable_path=found, args=["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"]
        )
        yield opened
        opened.close()


def until(page: Page, condition: str) -> None:
    """Wait until it holds; the driver's own wait needs eval, which the pages forbid."""
    for _ in range(600):
        if page.evaluate(condition):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"{page.url}: never true: {condition}")


@dataclass
class Reader:
    """Opens pages as a reader would, and notes whatever goes wrong or leaves the folder."""

    context: BrowserContext
    errors: list[str] = field(default_factory=list)
    requests: list[str] = field(default_factory=list)

    def open(self, path: Path, width: int = 1280) -> Page:
        page = self.context.new_page()
        page.set_viewport_size({"width": width, "height": 900})
        page.on("console", self._heard)
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("dialog", self._struck)
        page.on("requestfailed", lambda request: self.errors.append(f"failed: {request.url}"))
        page.on("request", lambda request: self.requests.append(request.url))
        page.goto(path.as_uri())
        until(
            page,
            "document.querySelectorAll('script[data-chart]').length === "
            "document.querySelectorAll('[data-drawn=yes]').length",
        )
        return page

    def _struck(self, dialog: Dialog) -> None:
        """Only a script from a record would open one."""
        self.errors.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    def _heard(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"} and not message.text.startswith(HARMLESS):
            self.errors.append(message.text)


@pytest.fixture
def reader(browser: Browser) -> Iterator[Reader]:
    context = browser.new_context(offline=True)
    yield Reader(context)
    context.close()
