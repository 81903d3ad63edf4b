"""Plants of cremated remains that may be somebody else's."""

from pipelines.demo_group.plants.changes import add_event, set_case, set_event, set_in
from pipelines.demo_group.plants.plant import NEWEST, Effect, Plant, found, silent

_CREMATION = "p.is_done and p.ending = 'cremation' and not p.is_scattered_here"
_ONE_CONTAINER = _CREMATION + " and p.container_count = 1"
_LATER_CREMATION = "p.is_done and q.is_done and p.ending = 'cremation' and q.ending = 'cremation' and q.act > p.act + 1440"


def _same_disc(new_disc: str) -> tuple[str, ...]:
    return (
        set_in(
            "custody_events",
            "case_number = '{other}' and disc_number is not null",
            disc_number=new_disc,
        ),
        set_in("cases", "case_number = '{other}'", remains_disc_number=new_disc),
    )


_DISC = "(select disc_number from profiles where case_number = '{case}')"

PLANTS: tuple[Plant, ...] = (
    found(
        "disc_differs",
        "Another disc on the packed remains",
        where=_CREMATION,
        record_key="{case}-265",
        changes=(set_event(265, disc_number="'D-0990001'"),),
    ),
    silent(
        "disc_differs",
        "No disc on the case, the same one on every step",
        where=_CREMATION,
        changes=(set_case(remains_disc_number="null"),),
    ),
    found(
        "disc_on_two_people",
        "One disc with two people",
        where=_LATER_CREMATION,
        is_pair=True,
        case_number="{other}",
        record_key="{other}-250",
        changes=_same_disc(_DISC),
    ),
    silent(
        "disc_on_two_people",
        "Discs that differ by one letter",
        where=_LATER_CREMATION,
        is_pair=True,
        case_number="{other}",
        changes=_same_disc(f"replace({_DISC}, 'D-', 'E-')"),
    ),
    found(
        "containers_short",
        "Two packed, one released",
        where=_ONE_CONTAINER,
        record_key="{case}-270",
        changes=(set_event(265, item_count="'2'"),),
        also=(Effect("remains_unclaimed", "{case}", "{case}-260"),),
    ),
    silent(
        "containers_short",
        "Three packed, two and one released",
        where=_ONE_CONTAINER,
        record_key="{case}-271",
        changes=(
            set_event(265, item_count="'3'"),
            set_event(270, item_count="'2'"),
            add_event(
                271,
                270,
                1440,
                "remains_released",
                disc_number="disc_number",
                item_count="'1'",
                released_by="released_by",
                received_by="received_by",
            ),
            set_case(closed_at="moved(closed_at, 1440)"),
        ),
    ),
    found(
        "disc_missing",
        "No disc at the chamber, one on the packed remains",
        where=_CREMATION,
        order_by=NEWEST,
        record_key="{case}-255",
        changes=(
            set_in("custody_events", "case_number = '{case}' and sort_step < 265", disc_number="null"),
            set_case(remains_disc_number="null"),
        ),
    ),
    silent(
        "disc_missing",
        "The disc on the last check before the chamber alone",
        where=_CREMATION,
        order_by=NEWEST,
        record_key="{case}-255",
        changes=(
            set_event(255, disc_number="null"),
            set_event(260, disc_number="null"),
            set_case(remains_disc_number="null"),
        ),
    ),
)
