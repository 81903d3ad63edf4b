"""All feeds in load order: a feed stands after those that it refers to.

A new feed is a new module in this folder with a ``FEED`` and its name in ``_MODULES``.
"""

from importlib import import_module

from pipelines.feeds import corrections, finding_answers
from pipelines.feeds.declare import Feed
from pipelines.feeds.reference import REFERENCE_FEEDS

_MODULES = (
    "locations",
    "cases",
    "custody_events",
    "supply_items",
    "supply_movements",
    "air_samples",
    "price_lists",
    "statement_lines",
    "supplier_bill_lines",
)

_group: tuple[Feed, ...] = tuple(
    import_module(f"pipelines.feeds.{module}").FEED for module in _MODULES
)

#: What the group itself decides about its records; read before them.
_DECISIONS: tuple[Feed, ...] = (corrections.FEED, finding_answers.FEED)
#: The nine feeds of a group's own records.
GROUP_FEEDS: dict[str, Feed] = {declared.name: declared for declared in _group}
#: Reference tables and decisions first (they refer to nothing), then the group's feeds.
FEEDS: dict[str, Feed] = {
    declared.name: declared for declared in (*REFERENCE_FEEDS, *_DECISIONS, *_group)
}


def feed(name: str) -> Feed:
    """The feed of that name; KeyError names the known ones."""
    if name not in FEEDS:
        raise KeyError(f"no feed {name!r}; known: {', '.join(FEEDS)}")
    return FEEDS[name]
