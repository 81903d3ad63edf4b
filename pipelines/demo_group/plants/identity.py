"""Plants of people who may be somebody else."""

from pipelines.demo_group.plants.changes import (
    add_event,
    drop_events,
    move_event,
    set_case,
    set_event,
    set_in,
)
from pipelines.demo_group.plants.plant import NEWEST, Effect, Plant, found, silent

_DONE = "p.is_done"
_NAMELESS = set_case(
    is_unidentified="'Y'", family_name="null", given_name="null", birth_family_name="null"
)
_CREMATION = "p.is_done and p.ending = 'cremation' and not p.is_scattered_here"
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


_BAND = "(select band_number from profiles where case_number = '{case}')"

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
        "unidentified_cremated",
        "Cremated, and nobody knows who it was",
        where=_CREMATION,
        order_by=NEWEST,
        record_key="{case}-255",
        changes=(_NAMELESS,),
    ),
    silent(
        "unidentified_cremated",
        "Buried, and nobody knows who it is",
        where="p.is_done and p.ending = 'burial'",
        order_by=NEWEST,
        record_key="{case}-235",
        changes=(_NAMELESS,),
    ),
)
