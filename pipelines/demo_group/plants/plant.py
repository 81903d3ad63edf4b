"""What a plant is: one fault, or one lawful twin that must stay silent."""

from dataclasses import dataclass, field
from typing import Literal

Expected = Literal["found", "silent"]
#: The newest cases first: those of midsummer are left to plants that need a change of the list.
NEWEST = "p.case_number desc"
#: Closed cases with one invoice: a burial with everything, a direct cremation with no credit.
FULL_SERVICE = "p.is_done and p.has_hearse and p.ending = 'burial' and not p.has_two_invoices"
DIRECT_CREMATION = "p.is_done and p.has_direct_cremation and not p.has_credit"


@dataclass(frozen=True)
class Effect:
    """One more finding or held-back record that a plant must give: its rule, case and record key."""

    rule_code: str
    case_number: str
    record_key: str


@dataclass(frozen=True)
class Plant:
    """One entry of a family's list.

    ``where`` chooses the case, as SQL over ``p`` (a row of ``profiles``, see ``89_profiles.sql``)
    and, when ``is_pair``, ``q``; blank for plants on no case. ``{case}`` and ``{other}`` in the rest
    stand for the numbers of the chosen cases, ``{home}`` for the home of the first. ``changes`` are
    SQL statements over the feed tables. ``case_number`` and ``record_key`` are what the answer key
    says; a key in brackets is a scalar subquery. ``also`` is what else the change must
    bring about. ``breaks_chain`` names (case, event) and
    adds a ``chain_held`` for every other custody record of that case.
    ``after_counts`` waits until the month-end counts are there; ``raw`` is bytes put at the end of
    the named feed's file.
    """

    rule_code: str
    expected: Expected
    note: str
    where: str = ""
    is_pair: bool = False
    changes: tuple[str, ...] = ()
    case_number: str = "{case}"
    record_key: str = ""
    also: tuple[Effect, ...] = ()
    breaks_chain: tuple[tuple[str, str], ...] = ()
    after_counts: bool = False
    raw: tuple[str, bytes] | None = None
    only_small: bool = False
    order_by: str = field(default="p.case_number")


def found(rule_code: str, note: str, **rest: object) -> Plant:
    """A fault that must be found."""
    return Plant(rule_code, "found", note, **rest)  # type: ignore[arg-type]


def silent(rule_code: str, note: str, **rest: object) -> Plant:
    """A lawful twin that must stay silent."""
    return Plant(rule_code, "silent", note, **rest)  # type: ignore[arg-type]
