"""Plants of people whose identity was compared too little, or too late."""

from pipelines.demo_group.plants.changes import set_event, set_in
from pipelines.demo_group.plants.plant import NEWEST, Effect, Plant, found, silent

_BURIED = "p.is_done and p.ending = 'burial'"
_TWO_AT_MOST = set_in(
    "custody_events",
    "case_number = '{case}' and identifiers_matched is not null",
    identifiers_matched="'2'",
)

PLANTS: tuple[Plant, ...] = (
    found(
        "few_identifiers_at_release",
        "Two identifiers at the release",
        where="p.is_done and p.ending = 'shipped'",
        record_key="{case}-235",
        changes=(set_event(235, identifiers_matched="'2'"),),
    ),
    silent(
        "few_identifiers_at_release",
        "Two identifiers when stored, three at the release",
        where="p.is_done and p.ending = 'shipped'",
        record_key="{case}-235",
        changes=(
            set_event(45, identifiers_matched="'2'"),
            set_event(235, identifiers_matched="'3'"),
        ),
    ),
    found(
        "identity_not_checked",
        "Two identifiers at every step up to the grave",
        where="p.is_done and p.ending = 'burial'",
        record_key="{case}-20",
        changes=(_TWO_AT_MOST,),
        also=(
            Effect("few_identifiers_at_last_act", "{case}", "{case}-235"),
            Effect("embalmed_unchecked", "{case}", "{case}-70"),
        ),
    ),
    silent(
        "identity_not_checked",
        "Three identifiers at the receipt, two ever after",
        where="p.is_done and p.ending = 'burial'",
        record_key="{case}-20",
        changes=(_TWO_AT_MOST, set_event(20, identifiers_matched="'3'")),
        also=(Effect("few_identifiers_at_last_act", "{case}", "{case}-235"),),
    ),
    found(
        "few_identifiers_at_last_act",
        "Three identifiers at the home, and none on the way into the chamber",
        where="p.is_done and p.ending = 'cremation'",
        order_by=NEWEST,
        record_key="{case}-255",
        changes=(
            set_in(
                "custody_events",
                "case_number = '{case}' and sort_step between 240 and 260",
                identifiers_matched="null",
                second_checker="null",
            ),
        ),
    ),
    silent(
        "few_identifiers_at_last_act",
        "None at the chamber, three twenty minutes before",
        where="p.is_done and p.ending = 'cremation'",
        order_by=NEWEST,
        record_key="{case}-255",
        changes=(
            set_event(240, identifiers_matched="null"),
            set_event(245, identifiers_matched="null"),
            set_event(255, identifiers_matched="null"),
        ),
    ),
    silent(
        "few_identifiers_at_last_act",
        "None at the grave, three before the car left",
        where="p.is_done and p.ending = 'burial'",
        order_by=NEWEST,
        record_key="{case}-235",
        changes=(
            set_event(230, identifiers_matched="null"),
            set_event(235, identifiers_matched="null"),
        ),
    ),
    found(
        "embalmed_unchecked",
        "Embalmed in the night, compared in the morning",
        where=_BURIED + " and p.is_embalmed",
        order_by=NEWEST,
        record_key="{case}-70",
        changes=(
            set_in(
                "custody_events",
                "case_number = '{case}' and sort_step <= 75",
                identifiers_matched="null",
                second_checker="null",
            ),
        ),
    ),
    silent(
        "embalmed_unchecked",
        "Compared when the band was put on, and not again before the embalming",
        where=_BURIED + " and p.is_embalmed",
        order_by=NEWEST,
        record_key="{case}-70",
        changes=(
            set_in(
                "custody_events",
                "case_number = '{case}' and sort_step between 11 and 75",
                identifiers_matched="null",
            ),
        ),
    ),
)
