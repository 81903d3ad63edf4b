"""Plants of acts while a hold stood."""

from pipelines.demo_group.plants.changes import add_event
from pipelines.demo_group.plants.plant import NEWEST, Plant, found, silent

_BURIAL = "p.is_done and p.ending = 'burial' and p.has_timed_papers"
_CREMATION = "p.is_done and p.ending = 'cremation' and p.has_timed_papers"
_ASHES = _CREMATION + " and not p.is_scattered_here and p.container_count = 1 and not p.has_hold"
_NO_HOLD = " and not p.has_hold and not p.has_effects"

PLANTS: tuple[Plant, ...] = (
    found(
        "act_during_hold",
        "Buried while a hold stood",
        where=_BURIAL + _NO_HOLD,
        record_key="{case}-235",
        changes=(add_event(222, 235, -700, "hold_placed", document_number="'HLD-{case}'"),),
    ),
    silent(
        "act_during_hold",
        "A hold, lifted an hour before the burial",
        where=_BURIAL + _NO_HOLD,
        record_key="{case}-235",
        changes=(
            add_event(222, 235, -700, "hold_placed", document_number="'HLD-{case}'"),
            add_event(223, 235, -60, "hold_lifted", document_number="'HLD-{case}'"),
        ),
    ),
    found(
        "act_during_hold",
        "Cremated remains handed out while a hold on them stood",
        where=_ASHES,
        order_by=NEWEST,
        record_key="{case}-270",
        changes=(add_event(267, 265, 5, "hold_placed", disc_number="disc_number"),),
    ),
    silent(
        "act_during_hold",
        "A hold on cremated remains, lifted before they were handed out",
        where=_ASHES,
        order_by=NEWEST,
        record_key="{case}-270",
        changes=(
            add_event(267, 265, 5, "hold_placed", disc_number="disc_number"),
            add_event(268, 265, 25, "hold_lifted", disc_number="disc_number"),
        ),
    ),
    silent(
        "act_during_hold",
        "A hold that stands, and nothing done since",
        where="p.ending = 'waiting' and p.home = 'BIRCH'",
        record_key="{case}-57",
        changes=(add_event(57, 50, 300, "hold_placed", document_number="'HLD-{case}'"),),
    ),
    found(
        "hold_ended_afterwards",
        "A lifting of before the burial, written down three hours after it",
        where=_BURIAL + _NO_HOLD,
        order_by=NEWEST,
        record_key="{case}-235",
        changes=(
            add_event(222, 235, -120, "hold_placed", document_number="'HLD-{case}'"),
            add_event(
                223,
                235,
                -60,
                "hold_lifted",
                document_number="'HLD-{case}'",
                recorded_at="moved(occurred_at, 180)",
            ),
        ),
    ),
    silent(
        "hold_ended_afterwards",
        "A lifting written down fifty minutes before the burial",
        where=_BURIAL + _NO_HOLD,
        order_by=NEWEST,
        record_key="{case}-235",
        changes=(
            add_event(222, 235, -120, "hold_placed", document_number="'HLD-{case}'"),
            add_event(223, 235, -60, "hold_lifted", document_number="'HLD-{case}'"),
        ),
    ),
)
