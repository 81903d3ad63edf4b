"""A small group of our own: for each rule of chemicals, prices and merchandise a fault and a twin.

A fault says which rule must find it; a twin is lawful, and no rule may find anything on it.
"""

from tests.models.money_scenario import bills, chemicals, merchandise, prices
from tests.models.money_scenario.group import Group


def scenario() -> Group:
    """All faults and twins in one group."""
    group = Group()
    for family in (chemicals, prices, bills, merchandise):
        family.plant(group)
    return group


__all__ = ["Group", "scenario"]
