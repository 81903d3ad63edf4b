"""What a lawful record of each feed says beyond its types: a module per feed that has such rules.

A new rule is an entry in ``RULES`` of its feed's module and one in the catalogue.
"""

from types import ModuleType

from pipelines.feeds import Feed
from validation.contracts.records import (
    air_samples,
    cases,
    custody_events,
    locations,
    price_lists,
    statement_lines,
    supplier_bill_lines,
    supply_movements,
)
from validation.contracts.records.rule import FeedRules, RecordRule

__all__ = ["FeedRules", "RecordRule", "rules_for"]

_MODULES: tuple[ModuleType, ...] = (
    air_samples,
    cases,
    custody_events,
    locations,
    price_lists,
    statement_lines,
    supplier_bill_lines,
    supply_movements,
)
_RULES: dict[str, FeedRules] = {
    module.__name__.rpartition(".")[2]: module.RULES for module in _MODULES
}


def rules_for(feed: Feed) -> FeedRules:
    """The record rules of the feed; none for a feed without a module here."""
    return _RULES.get(feed.name, FeedRules())
