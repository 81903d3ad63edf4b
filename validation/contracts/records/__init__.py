"""What a lawful record of each feed says beyond its types: a module per feed that has such rules.

A new rule is an entry in ``RULES`` of its feed's module and one in the catalogue; a module is found
by its feed's name.
"""

from importlib import import_module
from pkgutil import iter_modules

from pipelines.feeds import FEEDS, Feed
from validation.contracts.records.rule import FeedRules, RecordRule

__all__ = ["FeedRules", "RecordRule", "rules_for"]

_RULES: dict[str, FeedRules] = {
    found.name: import_module(f"{__name__}.{found.name}").RULES
    for found in iter_modules(__path__)
    if found.name in FEEDS
}


def rules_for(feed: Feed) -> FeedRules:
    """The record rules of the feed; none for a feed without a module here."""
    return _RULES.get(feed.name, FeedRules())
