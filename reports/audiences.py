"""The readers. Each has a folder of its own, which can be handed out without the others."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Audience:
    """``may_see_names``: personal names and free text of records are for those whose task needs
    them.

    The frame drops the columns marked as personal for every other audience, on the page and in the
    downloads.
    """

    slug: str
    reader: str
    question: str
    may_see_names: bool = False
    has_case_sheets: bool = False
    has_spreadsheets: bool = False


OPERATIONS = Audience(
    "operations",
    "Operations",
    "How long did each step take, what is stuck, who waits past a limit, does the count add up?",
    may_see_names=True,
)
COMPLIANCE = Audience(
    "compliance",
    "Compliance",
    "Is anyone's identity in doubt, is every chain unbroken, did every act have its papers first, "
    "what could not be checked?",
    may_see_names=True,
    has_case_sheets=True,
)
OWNER = Audience(
    "owner",
    "Owner",
    "How do the homes compare, like with like, and is any difference more than chance?",
)
ACCOUNTS = Audience(
    "accounts",
    "Accounts",
    "Does stock move as billed, what was billed and not issued, does every total tie to the cent?",
    has_spreadsheets=True,
)
PUBLIC = Audience("public", "Price lists", "What does each home charge?")

AUDIENCES: dict[str, Audience] = {
    a.slug: a for a in (OPERATIONS, COMPLIANCE, OWNER, ACCOUNTS, PUBLIC)
}
