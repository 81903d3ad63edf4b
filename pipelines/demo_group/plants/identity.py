"""Plants of people who may be somebody else."""

from pipelines.demo_group.plants.changes import (
    add_event,
    drop_events,
    move_event,
    set_case,
    set_event,
    set_in,
)
from pipelines.demo_group.plants.plant import Effect, Plant, found, silent

_DONE = "p.is_done"
# The cases of midsummer are left to plants that need a change of the price list.
_NEWEST = "p.case_number desc"
_BURIED = "p.is_done and p.ending = 'burial'"
#: Two people of two homes who died on one day, neither of whom is here any more.
_ONE_DAY = (
    "p.is_done and q.is_done and p.is_embalmed and q.is_embalmed and p.home <> q.home and local_date(p.died, p.zone) = local_date(q.died, q.zone) "
    "and p.first_call > q.first_call and not p.is_unidentified and not q.is_unidentified and p.ending = 'burial' "
    "and q.ending = 'burial' and p.act < p.cut_off_minute - 60000 and q.act < p.cut_off_minute - 60000"
)


def _as_the_other(*columns: str) -> str:
    """The case says of the person what the other case says."""
    other = "(select {0} from cases where case_number = '{{other}}')"
    return set_case(**{column: other.format(column) for column in columns})


_OTHER_PERMIT = "(select permit_number from cases where case_number = '{other}')"
_NAMELESS = set_case(
    is_unidentified="'Y'", family_name="null", given_name="null", birth_family_name="null"
)
_CREMATION = "p.is_done and p.ending = 'cremation' and not p.is_scattered_here"
_ONE_CONTAINER = _CREMATION + " and p.container_count = 1"
_LATER_CREMATION = "p.is_done and q.is_done and p.ending = 'cremation' and q.ending = 'cremation' and q.act > p.act + 1440"
# Two people fetched within hours; the first to leave waits for the second, and nobody counts meanwhile.
_ONE_CAR = (
    "p.is_done and q.is_done and p.lay_place = 'CARE' and q.lay_place = 'CARE' and q.left_origin < p.left_origin "
    "and p.left_origin - q.left_origin <= 240 and coalesce(q.embalming_started, q.taken) - q.refrigerated > 320 "
    "and not q.has_hold and not q.has_effects and not p.has_effects and q.died > p.left_origin - 1000 "
    "and (q.laid - minutes_of('2026-05-25 01:00:00')) // 10080 "
    "= (p.laid + 200 - minutes_of('2026-05-25 01:00:00')) // 10080 and p.laid < minutes_of('2026-10-30 00:00:00')"
)
_DELAY = (
    "(select left_origin from profiles where case_number = '{case}') - "
    "(select left_origin from profiles where case_number = '{other}')"
)
_TOGETHER = (
    set_in(
        "custody_events",
        "case_number = '{other}' and sort_step <= 50",
        occurred_at=f"moved(occurred_at, {_DELAY})",
        recorded_at=f"moved(recorded_at, {_DELAY})",
        sort_minute=f"sort_minute + {_DELAY}",
    ),
    set_event(
        25,
        of="{other}",
        place_id="(select place_id from custody_events where event_id = '{case}-25')",
    ),
)


def _same_band(new_band: str) -> tuple[str, ...]:
    return (
        set_in(
            "custody_events",
            "case_number = '{other}' and band_number is not null",
            band_number=new_band,
        ),
        set_in("cases", "case_number = '{other}'", band_number=new_band),
    )


def _same_disc(new_disc: str) -> tuple[str, ...]:
    return (
        set_in(
            "custody_events",
            "case_number = '{other}' and disc_number is not null",
            disc_number=new_disc,
        ),
        set_in("cases", "case_number = '{other}'", remains_disc_number=new_disc),
    )


_TWO_AT_MOST = set_in(
    "custody_events",
    "case_number = '{case}' and identifiers_matched is not null",
    identifiers_matched="'2'",
)
_BAND = "(select band_number from profiles where case_number = '{case}')"
_DISC = "(select disc_number from profiles where case_number = '{case}')"

PLANTS: tuple[Plant, ...] = (
    found(
        "moved_together_unbanded",
        "Two people in one car, no band on either",
        where=_ONE_CAR,
        is_pair=True,
        record_key="{case}-25",
        changes=(
            *_TOGETHER,
            set_event(25, band_number="null"),
            set_event(25, of="{other}", band_number="null"),
            drop_events("sort_step = 10"),
            drop_events("sort_step = 10", of="{other}"),
        ),
        also=(
            Effect("moved_together_unbanded", "{other}", "{other}-25"),
            Effect("chain_move_without_band", "{case}", "{case}-25"),
            Effect("chain_move_without_band", "{other}", "{other}-25"),
        ),
        breaks_chain=(("{case}", "{case}-25"), ("{other}", "{other}-25")),
    ),
    silent(
        "moved_together_unbanded",
        "Two people in one car, both bands read",
        where=_ONE_CAR,
        is_pair=True,
        record_key="{case}-25",
        changes=_TOGETHER,
    ),
    found(
        "band_after_first_move",
        "Band put on after the arrival",
        where=_DONE + " and not p.has_effects",
        record_key="{case}-10",
        changes=(
            move_event(
                10, "(select laid + 6 from profiles where case_number = '{case}') - sort_minute"
            ),
            set_event(10, place_id="null"),
        ),
    ),
    silent(
        "band_after_first_move",
        "A worn band replaced by one of the same number",
        where=_DONE,
        record_key="{case}-33",
        changes=(add_event(33, 40, -1, "band_attached", band_number="band_number"),),
    ),
    found(
        "band_on_two_people",
        "One band number on two people",
        where="p.is_done and q.is_done and q.received > p.received + 1440",
        is_pair=True,
        case_number="{other}",
        record_key="{other}-10",
        changes=_same_band(_BAND),
    ),
    silent(
        "band_on_two_people",
        "Bands that differ by one letter",
        is_pair=True,
        where="p.is_done and q.is_done and q.received > p.received",
        case_number="{other}",
        changes=_same_band(f"replace({_BAND}, 'LS-', 'LT-')"),
    ),
    found(
        "band_unreadable",
        "A band that nobody could read at the grave",
        where="p.is_done and p.ending = 'burial'",
        record_key="{case}-235",
        changes=(set_event(235, band_number="'UNREADABLE'"),),
    ),
    found(
        "band_unreadable",
        "A band that nobody could read, and the person lies in the cooler",
        where="p.ending not in ('waiting', 'cancelled') and p.refrigerated < p.cut_off_minute - 60 "
        "and p.on_shelf < p.cut_off_minute - 120 and p.taken > p.cut_off_minute and not p.is_embalmed and p.count_number = 0",
        record_key="{case}-45",
        changes=(set_event(45, band_number="'UNREADABLE'"),),
    ),
    silent(
        "band_unreadable",
        "Unreadable when stored, read by two people later",
        record_key="{case}-45",
        where="p.is_done and p.ending = 'cremation'",
        changes=(set_event(45, band_number="'UNREADABLE'"),),
    ),
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
        "sex_contradicts",
        "The other sex seen at the check",
        where=_DONE,
        record_key="{case}-40",
        changes=(set_event(40, sex_observed="case sex_observed when 'M' then 'F' else 'M' end"),),
    ),
    silent(
        "sex_contradicts",
        "Sex not told at the check",
        where=_DONE,
        record_key="{case}-40",
        changes=(set_event(40, sex_observed="'U'"),),
    ),
    found(
        "sex_contradicts",
        "The other sex seen of somebody who is still with us",
        where="p.ending = 'waiting' and not p.is_unidentified",
        record_key="{case}-40",
        changes=(set_event(40, sex_observed="case sex_observed when 'M' then 'F' else 'M' end"),),
    ),
    found(
        "disposition_contradicts",
        "Cremated, and the family had chosen burial",
        where=_CREMATION,
        record_key="{case}-255",
        changes=(set_case(disposition_code="'B'", disposition_instruction="'bury'"),),
    ),
    silent(
        "disposition_contradicts",
        "Changed from burial to cremation the day before",
        where=_CREMATION + " and p.act - p.arranged > 2880",
        changes=(
            set_case(
                instruction_given_at="moved((select occurred_at from custody_events where event_id = '{case}-255'), -1440)"
            ),
        ),
    ),
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
        order_by=_NEWEST,
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
        order_by=_NEWEST,
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
        order_by=_NEWEST,
        record_key="{case}-235",
        changes=(
            set_event(230, identifiers_matched="null"),
            set_event(235, identifiers_matched="null"),
        ),
    ),
    found(
        "unidentified_cremated",
        "Cremated, and nobody knows who it was",
        where=_CREMATION,
        order_by=_NEWEST,
        record_key="{case}-255",
        changes=(_NAMELESS,),
    ),
    silent(
        "unidentified_cremated",
        "Buried, and nobody knows who it is",
        where="p.is_done and p.ending = 'burial'",
        order_by=_NEWEST,
        record_key="{case}-235",
        changes=(_NAMELESS,),
    ),
    found(
        "disc_missing",
        "No disc at the chamber, one on the packed remains",
        where=_CREMATION,
        order_by=_NEWEST,
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
        order_by=_NEWEST,
        record_key="{case}-255",
        changes=(
            set_event(255, disc_number="null"),
            set_event(260, disc_number="null"),
            set_case(remains_disc_number="null"),
        ),
    ),
    found(
        "permit_on_two_people",
        "The permit of somebody buried the week before",
        where=_BURIED + " and q.is_done and q.home = p.home and q.ending = 'burial' "
        "and q.permitted between p.permitted - 20000 and p.permitted - 3000",
        is_pair=True,
        order_by="p.case_number desc, q.case_number",
        record_key="{case}",
        changes=(set_case(permit_number=_OTHER_PERMIT),),
    ),
    silent(
        "permit_on_two_people",
        "The same number three months later",
        where=_BURIED + " and q.is_done and q.home = p.home and q.ending = 'burial' "
        "and q.permitted < p.permitted - 130000",
        is_pair=True,
        order_by="p.case_number desc, q.case_number",
        record_key="{case}",
        changes=(set_case(permit_number=_OTHER_PERMIT),),
    ),
    found(
        "embalmed_unchecked",
        "Embalmed in the night, compared in the morning",
        where=_BURIED + " and p.is_embalmed",
        order_by=_NEWEST,
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
        order_by=_NEWEST,
        record_key="{case}-70",
        changes=(
            set_in(
                "custody_events",
                "case_number = '{case}' and sort_step between 11 and 75",
                identifiers_matched="null",
            ),
        ),
    ),
    found(
        "person_on_two_cases",
        "One person, taken in by two homes",
        where=_ONE_DAY,
        is_pair=True,
        order_by="p.case_number desc, q.case_number",
        record_key="{case}",
        changes=(_as_the_other("family_name", "given_name", "date_of_birth"),),
    ),
    silent(
        "person_on_two_cases",
        "Twins who died on one day",
        where=_ONE_DAY,
        is_pair=True,
        order_by="p.case_number desc, q.case_number",
        record_key="{case}",
        changes=(_as_the_other("family_name", "date_of_birth"),),
    ),
)
