"""All feeds in load order. They are found: a new feed is a new module with a ``FEED``."""

from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

from pipelines.feeds.declare import Feed
from pipelines.feeds.reference import REFERENCE_FEEDS


def _declared() -> list[Feed]:
    """The ``FEED`` of every module of this folder that has one, by their ``order``."""
    names = {module.name for module in iter_modules([str(Path(__file__).parent)])}
    others = names - {"declare", "reference", "registry"}
    declared = [import_module(f"pipelines.feeds.{name}").FEED for name in others]
    return sorted(declared, key=lambda feed: (feed.order, feed.name))


_found = {declared.name: declared for declared in _declared()}
#: What the group itself decides about its records; read before them.
DECISIONS: dict[str, Feed] = {n: feed for n, feed in _found.items() if feed.family == "decisions"}
#: The feeds of a group's own records.
GROUP_FEEDS: dict[str, Feed] = {n: feed for n, feed in _found.items() if n not in DECISIONS}
#: Reference tables and decisions first (they refer to nothing), then the group's feeds.
FEEDS: dict[str, Feed] = {
    **{declared.name: declared for declared in REFERENCE_FEEDS},
    **DECISIONS,
    **GROUP_FEEDS,
}


def feed(name: str) -> Feed:
    """The feed of that name; KeyError names the known ones."""
    if name not in FEEDS:
        raise KeyError(f"no feed {name!r}; known: {', '.join(FEEDS)}")
    return FEEDS[name]
