"""Plants of people whose names are alike."""

from pipelines.demo_group.plants.changes import set_case, set_in, text
from pipelines.demo_group.plants.plant import NEWEST, Plant, found, silent

_BOTH_HERE = (
    "not p.is_done and not q.is_done and q.received > p.received + 60 and q.received < p.act - 1440"
)


def _named(family_name: str, given_name: str) -> str:
    return set_case(family_name=text(family_name), given_name=text(given_name))


def _other_named(family_name: str, given_name: str) -> str:
    return set_in(
        "cases",
        "case_number = '{other}'",
        family_name=text(family_name),
        given_name=text(given_name),
    )


PLANTS: tuple[Plant, ...] = (
    found(
        "similar_names",
        "A double family name, and half of it without the accent",
        where=_BOTH_HERE,
        is_pair=True,
        case_number="{other}",
        record_key="{other}",
        changes=(_named("Ashgrove-Lund", "Célia"), _other_named("Ashgrove", "Celia")),
        order_by=NEWEST,
    ),
    found(
        "similar_names",
        "The family name at birth of one is the family name of the other",
        where=_BOTH_HERE,
        is_pair=True,
        case_number="{other}",
        record_key="{other}",
        changes=(
            set_case(
                family_name=text("Wexcombe"), given_name=text("Leonie"),
                birth_family_name=text("Tarvin"),
            ),
            _other_named("Tarvin", "Leonie"),
        ),
        order_by=NEWEST,
    ),
    silent(
        "similar_names",
        "One name, received two days after the other's burial",
        where="p.is_done and p.ending = 'burial' and not q.is_done and q.received > p.act + 2880",
        is_pair=True,
        case_number="{other}",
        changes=(_named("Östermark", "Sören"), _other_named("Ostermark", "Soren")),
        order_by=NEWEST,
    ),
)
