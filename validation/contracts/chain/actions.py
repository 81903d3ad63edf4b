"""What each action of a custody event does to the chain of its case.

What, where, why and who follow the open visibility-event model (GS1 EPCIS 2.0); the sets are the
group's own.
"""

from pipelines.feeds.custody_events import ACTIONS, UNREADABLE_BAND
from pipelines.sqltext import literal

#: May stand before we take the person into care: what is done at the place of death.
BEFORE_RECEIPT = (
    "band_attached",
    "identity_checked",
    "effects_listed",
    "hold_placed",
    "hold_lifted",
)
#: Set the place where the person is.
MOVERS = ("received", "departed", "arrived", "buried", "entombed", "released")
#: Change who holds the person.
HANDOVERS = ("received", "transferred", "released")
#: Move the person, so a band must be read.
NEED_BAND = (
    "received", "departed", "arrived", "transferred", "stored", "taken_out", "cremation_started",
    "buried", "entombed", "released",
)  # fmt: skip
#: Cannot happen in a vehicle.
INDOORS = (
    "stored", "taken_out", "embalming_started", "embalming_finished", "cremation_started",
    "cremation_finished",
)  # fmt: skip
#: End the custody of the body.
FINAL = ("cremation_finished", "buried", "entombed", "released")
#: Events of the cremated remains: they carry the disc number.
REMAINS = ("remains_packed", "remains_received", "remains_released", "remains_scattered")
#: May follow final disposition.
AFTER_FINAL = (*REMAINS, "effects_listed", "effects_returned", "reviewed")
#: Say from when on there are cremated remains.
GIVES_REMAINS = ("cremation_finished", *REMAINS)
#: How remains are kept: with the disc number, once there are remains.
KEEPS_REMAINS = (
    "hold_placed", "hold_lifted", "identity_checked", "stored", "taken_out", "counted", "reviewed",
)  # fmt: skip
#: Remains that somebody else cremated, brought by whoever had them: an outside party, and the disc
#: or the number on the container.
REMAINS_ARE_BROUGHT = (
    "r.action = 'remains_received' and contains(r.from_party, ':') and r.disc_number is not null"
)
#: Conditions on a record ``r`` in SQL; null where it says nothing of it.
BAND_IS_READABLE = f"r.band_number <> {literal(UNREADABLE_BAND)}"
#: Another band put on in place of the one before: two people, three identifiers (Human Tissue
#: Authority standard T1(c), taken here as good practice everywhere).
BAND_IS_REPLACED = (
    f"r.action = 'band_attached' and {BAND_IS_READABLE} and r.identifiers_matched >= 3 "
    "and r.second_checker is not null"
)
PLACE_IS_VEHICLE = "starts_with(r.place_id, 'vehicle:')"
PLACE_IS_CREMATORY = (
    "starts_with(r.place_id, 'crematory:') or r.place_id in "
    "(select location_id from known_locations where location_kind = 'crematory')"
)

__all__ = ["ACTIONS"]
