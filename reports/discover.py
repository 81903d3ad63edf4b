"""Pages are found, not listed: a new page is a new module in ``reports/pages``."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

import reports.pages
from reports.audiences import Audience
from reports.content import Content, Page
from reports.warehouse import Warehouse

Build = Callable[[Warehouse, Audience], Content]


@dataclass(frozen=True)
class FoundPage:
    page: Page
    build: Build


@cache
def pages() -> tuple[FoundPage, ...]:
    """Every module of ``reports.pages`` with a ``PAGE`` and a ``build``, in menu order."""
    found = []
    for module in iter_modules(reports.pages.__path__):
        loaded = import_module(f"reports.pages.{module.name}")
        page, build = getattr(loaded, "PAGE", None), getattr(loaded, "build", None)
        if not isinstance(page, Page) or not callable(build):
            raise TypeError(f"reports/pages/{module.name}.py declares no PAGE or no build()")
        found.append(FoundPage(page, build))
    return tuple(sorted(found, key=lambda f: (f.page.order, f.page.slug)))
