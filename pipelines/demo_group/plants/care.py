"""Plants of care, of cremated remains, and of steps that end before they begin."""

from pipelines.demo_group.plants.changes import (
    add_event,
    add_issue,
    add_line,
    band,
    drop_events,
    move_event,
    of_case,
    set_case,
    set_event,
)
from pipelines.demo_group.plants.plant import NEWEST, Effect, Plant, found, silent

_LAID_LONG = "p.is_done and p.lay_place = 'CARE' and not p.is_examined and p.time_known and not p.has_hold and p.taken > p.received + 2600"
_PLAIN = "p.is_done and p.lay_place = 'CARE' and not p.is_embalmed and not p.has_credit"
_CREMATION = "p.is_done and p.ending = 'cremation'"
_HANDED_OUT = _CREMATION + " and not p.is_scattered_here"
_IN_THE_COOLER = (
    "p.is_done and p.lay_place = 'CARE' and not p.is_embalmed and not p.has_hold and p.count_number = 0 "
    "and p.taken - p.refrigerated between 2300 and 9000"
)
_LATE = f"{of_case('received')} + 1800 - sort_minute"


def _unclaimed(older_than_days: int, newer_than_days: int) -> str:
    cut_off = "getvariable('cut_off')"
    return (
        f"p.ending = 'cremation' and p.container_count = 1 and p.cremated < {cut_off} - {older_than_days * 1440} "
        f"and p.cremated > {cut_off} - {newer_than_days * 1440} and p.home <> 'CEDAR'"
    )


_STILL_HERE = (
    drop_events("sort_step between 270 and 272"),
    set_case(case_status="'open'", closed_at="null"),
)

_BELONGINGS = "p.is_done and p.has_effects and p.t1 % 5 > 1"

PLANTS: tuple[Plant, ...] = (
    found(
        "held_too_long",
        "Waiting for three weeks; the house rule says twenty days",
        where="p.ending = 'waiting' and p.home = 'CEDAR' and p.cut_off_minute - p.received > 28860",
        record_key="(select arg_max(event_id, sort_minute) from custody_events where case_number = '{case}' and action <> 'counted')",
        also=(Effect("permit_overdue", "{case}", "{case}"),),
    ),
    silent(
        "held_too_long",
        "Buried on the eleventh day",
        where="p.is_done and p.home = 'CEDAR' and p.act - p.received > 14400",
        record_key="{case}-235",
    ),
    found(
        "effects_short",
        "One thing fewer returned than was listed",
        where=_BELONGINGS,
        record_key="{case}-15",
        changes=(set_event(280, item_count="(item_count::integer - 1)::varchar"),),
    ),
    silent(
        "effects_short",
        "All but one returned, and the last a day later",
        where=_BELONGINGS,
        record_key="{case}-15",
        changes=(
            set_event(280, item_count="(item_count::integer - 1)::varchar"),
            add_event(
                281,
                280,
                1440,
                "effects_returned",
                item_count="'1'",
                released_by="released_by",
                received_by="received_by",
            ),
        ),
    ),
    found(
        "out_of_refrigeration",
        "Taken out of the cooler a day and a half before the car came",
        where=_IN_THE_COOLER,
        order_by=NEWEST,
        record_key="{case}-200",
        changes=(move_event(200, "-2160"),),
    ),
    found(
        "out_of_refrigeration",
        "Stored in the preparation room for a day and a half, which is not refrigerated",
        where=_IN_THE_COOLER,
        order_by=NEWEST,
        record_key="{case}-81",
        changes=(
            add_event(81, 50, 600, "stored", storage_unit="'CARE-PREP-2'", band_number=band()),
            add_event(82, 50, 2760, "stored", storage_unit=of_case("shelf"), band_number=band()),
        ),
    ),
    silent(
        "out_of_refrigeration",
        "Stored in the viewing room for the morning",
        where=_IN_THE_COOLER,
        order_by=NEWEST,
        record_key="{case}-81",
        changes=(
            add_event(81, 50, 600, "stored", storage_unit="'CARE-VIEW-1'", band_number=band()),
            add_event(82, 50, 900, "stored", storage_unit=of_case("shelf"), band_number=band()),
        ),
    ),
    silent(
        "out_of_refrigeration",
        "Taken out of the cooler in the morning, back in the evening",
        where=_IN_THE_COOLER,
        order_by=NEWEST,
        record_key="{case}-81",
        changes=(
            add_event(81, 50, 600, "taken_out", storage_unit=of_case("shelf"), band_number=band()),
            add_event(82, 50, 1200, "stored", storage_unit=of_case("shelf"), band_number=band()),
        ),
    ),
    found(
        "care_late",
        "Refrigerated thirty hours after receipt",
        where=_LAID_LONG + " and not p.is_embalmed",
        record_key="{case}-20",
        changes=(move_event(50, _LATE),),
    ),
    silent(
        "care_late",
        "Embalmed within the day, refrigerated after it",
        record_key="{case}-20",
        where=_LAID_LONG
        + " and p.embalming_finished < p.died + 1400 and p.taken > p.received + 2600",
        changes=(move_event(50, _LATE),),
    ),
    found(
        "storage_warm",
        "A cooler read in Fahrenheit",
        where=_PLAIN,
        record_key="{case}-50",
        changes=(set_event(50, temperature_c="'38.0'"),),
    ),
    silent(
        "storage_warm",
        "Forty degrees Fahrenheit, written in Celsius",
        where=_PLAIN,
        record_key="{case}-50",
        changes=(set_event(50, temperature_c="'4.4'"),),
    ),
    found(
        "fluid_without_embalming",
        "Arterial fluid for a person who was not embalmed",
        where=_PLAIN,
        record_key="MV-{case}-91",
        changes=(add_issue(91, "issued", "ART-25", "'CARE'", 60, "1", mixed_volume_ml="'5678'"),),
    ),
    silent(
        "fluid_without_embalming",
        "Cavity fluid alone",
        where=_PLAIN,
        record_key="MV-{case}-91",
        changes=(add_issue(91, "issued", "CAV-24", "'CARE'", 60, "1"),),
    ),
    found(
        "embalming_without_record",
        "Embalming charged, no embalming on the record",
        where="p.is_done and p.has_embalming_charge and not p.is_autopsied and not p.has_hold and p.ending = 'burial'",
        changes=(drop_events("sort_step between 65 and 80"),),
    ),
    silent(
        "embalming_without_record",
        "Embalming charged by mistake and credited",
        where=_PLAIN,
        record_key="I-{case}|91",
        changes=(
            add_line("I", 91, "S07-EMBALM", "embalming", "Embalming", "1", "700.00", "700.00"),
            add_line("C", 91, "S07-EMBALM", "embalming", "Embalming", "-1", "700.00", "-700.00"),
        ),
    ),
    found(
        "remains_without_cremation",
        "Remains handed out of a person who was buried",
        where="p.is_done and p.ending = 'burial'",
        record_key="{case}-270",
        changes=(
            add_event(
                270,
                235,
                4320,
                "remains_released",
                disc_number="'D-0990002'",
                item_count="'1'",
                released_by="'CR-S2'",
                received_by="'family-1'",
            ),
        ),
    ),
    silent(
        "remains_without_cremation",
        "Remains of a person cremated by us",
        where=_CREMATION,
        record_key="{case}-270",
    ),
    found(
        "remains_unsigned",
        "Handed out, and nobody signed for receiving",
        where=_CREMATION + " and p.container_count = 1",
        record_key="{case}-270",
        changes=(set_event(270, received_by="null"),),
    ),
    silent(
        "remains_unsigned",
        "Handed out in two parts, both signed",
        where=_CREMATION + " and p.container_count = 2",
        record_key="{case}-270",
    ),
    found(
        "remains_receiver_differs",
        "Handed to a relative whom the authorisation does not name",
        where=_HANDED_OUT + " and p.container_count = 1",
        order_by=NEWEST,
        record_key="{case}-270",
        changes=(set_event(270, received_by="'family-7'"),),
    ),
    found(
        "remains_receiver_differs",
        "The second of two containers handed to a firm that is not named",
        where=_HANDED_OUT + " and p.container_count = 2 and p.t2 % 2 = 0",
        order_by=NEWEST,
        record_key="{case}-272",
        changes=(
            set_case(remains_receivers="remains_receivers || '; funeral_home:NEW-DAWN'"),
            set_event(272, received_by="'desk-3'", to_party="'funeral_home:FARSHORE'"),
        ),
    ),
    silent(
        "remains_receiver_differs",
        "Handed to the second of two, her family name first",
        where=_HANDED_OUT + " and p.container_count = 1",
        order_by=NEWEST,
        record_key="{case}-270",
        changes=(
            set_case(remains_receivers="'Tom Example; Zoë O''Sample'"),
            set_event(270, received_by="'O''SAMPLE, Zoe'"),
        ),
    ),
    silent(
        "remains_receiver_differs",
        "Sent by a carrier, whose driver signs",
        where=_HANDED_OUT + " and p.container_count = 1",
        order_by=NEWEST,
        record_key="{case}-270",
        changes=(set_event(270, received_by="'desk-3'", to_party="'carrier:SWIFT-VAN'"),),
    ),
    found(
        "remains_unclaimed",
        "Remains waiting for more than 120 days",
        where=_unclaimed(135, 185),
        record_key="{case}-260",
        changes=_STILL_HERE,
    ),
    silent(
        "remains_unclaimed",
        "Remains waiting for less than 120 days",
        where=_unclaimed(95, 117),
        record_key="{case}-260",
        changes=_STILL_HERE,
    ),
    found(
        "remains_mass_unusual",
        "More than six kilograms",
        where=_CREMATION,
        record_key="{case}",
        changes=(set_case(remains_mass_g="'6180'"),),
    ),
    silent(
        "remains_mass_unusual",
        "A heavy man's remains, at 3.7 per cent of his weight",
        where=_CREMATION + " and p.is_male",
        record_key="{case}",
        changes=(set_case(remains_mass_g="'4880'", body_weight_kg="'131'"),),
    ),
    found(
        "step_negative",
        "The certificate signed five hours before the death",
        where="p.is_done and p.time_known and p.has_timed_papers and not p.is_trade_call",
        record_key="{case}",
        changes=(
            set_case(
                certificate_signed_at="(select instant_text(died - 300, zone) from profiles where case_number = '{case}')"
            ),
        ),
    ),
    silent(
        "step_negative",
        "Arranged in the minute of the first call",
        where="p.is_done and p.home = 'BIRCH'",
        record_key="{case}",
        changes=(set_case(arrangement_at="first_call_at"),),
    ),
    silent(
        "step_negative",
        "Arranged a day before the first call, ahead of the need",
        where="p.is_done and p.home = 'BIRCH'",
        order_by=NEWEST,
        record_key="{case}",
        changes=(set_case(arrangement_at="moved(first_call_at, -1440)"),),
    ),
)
