"""Plants of broken custody lines: the whole case is held back, the break and the rest of it."""

from pipelines.demo_group.plants.changes import add_event, band, drop_events, set_case, set_event
from pipelines.demo_group.plants.plant import NEWEST, Effect, Plant, found, silent

_DONE = "p.is_done and not p.has_hold and not p.has_effects"
_AT_CARE = _DONE + " and p.home = 'ALDER' and p.lay_place = 'CARE'"
# A count of a broken line would be a second finding.
_UNCOUNTED = _AT_CARE + " and p.count_number = 0"
_DISC = {"disc_number": "disc_number"}
_MOVED = {"band_number": "band_number", "identifiers_matched": "'3'"}


def _break(
    rule_code: str,
    note: str,
    event: str,
    where: str,
    *changes: str,
    also: tuple[Effect, ...] = (),
    order_by: str = "p.case_number",
) -> Plant:
    return found(
        rule_code,
        note,
        where=where,
        record_key=event,
        changes=changes,
        breaks_chain=(("{case}", event),),
        also=also,
        order_by=order_by,
    )


PLANTS: tuple[Plant, ...] = (
    _break(
        "chain_not_opened",
        "Nobody recorded that the person was received",
        "{case}-25",
        _DONE + " and p.ending = 'burial'",
        drop_events("sort_step = 20"),
    ),
    silent(
        "chain_not_opened",
        "Identity checked at the place of death, before the person was received",
        where=_DONE,
        record_key="{case}-12",
        changes=(add_event(12, 20, -4, "identity_checked", band_number="band_number"),),
    ),
    _break(
        "chain_party_break",
        "Handed over by a home that never had the person",
        "{case}-35",
        _AT_CARE,
        set_event(35, from_party="'BIRCH'"),
    ),
    silent(
        "chain_party_break",
        "Stored by the party that has the person",
        where=_AT_CARE,
        record_key="{case}-45",
        changes=(set_event(45, from_party="'CARE'", to_party="'CARE'"),),
    ),
    _break(
        "chain_place_break",
        "Checked at the crematory while at the care centre",
        "{case}-40",
        _UNCOUNTED,
        set_event(40, place_id="'CREM'"),
    ),
    silent(
        "chain_place_break",
        "Checked at the place where the person is",
        where=_AT_CARE,
        record_key="{case}-40",
        changes=(set_event(40, place_id="'CARE'"),),
    ),
    _break(
        "chain_two_places_at_once",
        "Stored on two shelves in one minute",
        "{case}-46",
        _UNCOUNTED,
        add_event(
            46,
            45,
            0,
            "stored",
            storage_unit="'CARE-X01'",
            recorded_at="moved(recorded_at, 5)",
            **_MOVED,
        ),
        also=(Effect("unit_contradicts", "{case}", "{case}-50"),),
    ),
    silent(
        "chain_two_places_at_once",
        "Moved to another shelf an hour later",
        where=_AT_CARE
        + " and not p.is_embalmed and p.count_number = 0 and p.taken - p.refrigerated > 120",
        record_key="{case}-52",
        changes=(
            add_event(
                52,
                50,
                60,
                "stored",
                storage_unit="'CARE-X02'",
                band_number=band(),
                identifiers_matched="'3'",
            ),
            set_event(200, storage_unit="'CARE-X02'"),
        ),
    ),
    _break(
        "chain_band_mismatch",
        "Another band read when stored",
        "{case}-45",
        _AT_CARE,
        set_event(45, band_number="'LS-0990001'"),
    ),
    silent(
        "chain_band_mismatch",
        "No band on the case, the same one on every event",
        where=_AT_CARE,
        record_key="{case}",
        changes=(set_case(band_number="null"),),
    ),
    _break(
        "chain_move_without_band",
        "Brought in without reading the band",
        "{case}-30",
        _AT_CARE,
        set_event(30, band_number="null"),
    ),
    silent(
        "chain_move_without_band",
        "A viewing, which moves nobody, without reading the band",
        where=_DONE + " and p.has_home_service",
        record_key="{case}-220",
        changes=(set_event(220, band_number="null"),),
    ),
    _break(
        "chain_after_disposition",
        "Viewed two days after the burial",
        "{case}-290",
        _DONE + " and p.ending = 'burial'",
        add_event(290, 235, 2880, "viewed", **_MOVED),
    ),
    silent(
        "chain_after_disposition",
        "Effects given back after the burial",
        where="p.is_done and p.has_effects and p.ending = 'burial'",
        record_key="{case}-280",
    ),
    _break(
        "chain_after_disposition",
        "Cremated remains shelved, and their disc not read",
        "{case}-266",
        _DONE + " and p.ending = 'cremation'",
        add_event(266, 265, 10, "stored", storage_unit="'CREM-R2'"),
        order_by=NEWEST,
    ),
    silent(
        "chain_after_disposition",
        "Cremated remains checked, shelved and held, each with their disc; they are still here",
        where="p.ending = 'cremation' and p.closed <= p.cut_off_minute and p.container_count = 1"
        " and p.cremated > p.cut_off_minute - 100 * 1440",
        order_by=NEWEST,
        record_key="{case}-269",
        changes=(
            drop_events("sort_step between 270 and 272"),
            set_case(case_status="'open'", closed_at="null"),
            add_event(266, 265, 10, "identity_checked", second_checker="'CR-S9'", **_DISC),
            add_event(267, 265, 15, "taken_out", storage_unit="storage_unit", **_DISC),
            add_event(268, 265, 20, "stored", storage_unit="'CREM-R9'", **_DISC),
            add_event(269, 265, 600, "hold_placed", document_number="'HLD-{case}'", **_DISC),
        ),
    ),
    _break(
        "chain_closed_without_end",
        "Closed, and the line ends at the cemetery gate",
        "{case}-230",
        _DONE + " and p.ending = 'burial' and not p.is_embalmed",
        drop_events("sort_step = 235"),
        also=(
            Effect("no_movement", "{case}", "{case}-230"),
            Effect("out_of_refrigeration", "{case}", "{case}-200"),
        ),
    ),
    silent(
        "chain_closed_without_end",
        "Open, and the line ends in the cooler",
        where="p.ending = 'waiting'",
    ),
    _break(
        "chain_correction_unknown",
        "Corrects an event that nobody has",
        "{case}-51",
        _AT_CARE,
        add_event(
            51, 50, 20, "identity_checked", band_number=band(), corrects_event_id="'EV-UNKNOWN'"
        ),
    ),
    silent(
        "chain_correction_unknown",
        "A wrong shelf, put right by a second record",
        where=_AT_CARE,
        record_key="{case}-47",
        changes=(
            add_event(
                47,
                45,
                0,
                "stored",
                storage_unit="storage_unit",
                corrects_event_id="event_id",
                **_MOVED,
            ),
            set_event(45, storage_unit="'CARE-X03'"),
        ),
    ),
    silent(
        "chain_held",
        "An event of another place, taken out by a voided record",
        where=_AT_CARE,
        record_key="{case}-42",
        changes=(
            add_event(41, 40, 1, "identity_checked", place_id="'CREM'", band_number="band_number"),
            add_event(42, 40, 2, "voided", corrects_event_id="'{case}-41'"),
        ),
    ),
)
