"""Random lawful chains, and a second, slow judge of chains that walks one event at a time."""

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from hypothesis import strategies as st

START = datetime(2026, 6, 1, 12)
HOMES = ("ALDER", "BIRCH")
OUR_PLACES = ("ALDER", "BIRCH", "CARE", "CREM")
CREMATORIES = ("CREM", "crematory:FAR")
STILL = ("identity_checked", "viewed", "refrigerated", "reviewed", "hold_placed", "hold_lifted")
BEFORE = ("band_attached", "identity_checked", "effects_listed", "hold_placed", "hold_lifted")
MOVES = ("received", "departed", "arrived", "transferred", "stored", "taken_out",
         "cremation_started", "buried", "entombed", "released")  # fmt: skip
INDOORS = ("stored", "taken_out", "embalming_started", "embalming_finished", "cremation_started",
           "cremation_finished")  # fmt: skip
FINAL = ("cremation_finished", "buried", "entombed", "released")
KEEPING = ("hold_placed", "hold_lifted", "identity_checked", "stored", "taken_out", "reviewed")


@dataclass(frozen=True)
class Event:
    event_id: str
    case_number: str
    occurred_at: datetime | None
    action: str
    from_party: str | None = None
    to_party: str | None = None
    place_id: str | None = None
    storage_unit: str | None = None
    band_number: str | None = None
    disc_number: str | None = None
    identifiers_matched: int | None = None
    second_checker: str | None = None
    corrects_event_id: str | None = None

    @property
    def record(self) -> dict[str, object]:
        later = self.occurred_at + timedelta(minutes=5) if self.occurred_at else None
        return {**vars(self), "occurred_at_local": self.occurred_at, "recorded_at": later}


@dataclass
class Case:
    """A case and its events; ``draw`` gives the choices."""

    number: str
    band: str | None
    is_closed: bool = False
    events: list[Event] = field(default_factory=list)


class _Writer:
    """Writes a lawful chain, choice by choice."""

    def __init__(self, draw: st.DrawFn, case: Case) -> None:
        self.draw, self.case, self.now = draw, case, START
        self.band = case.band or f"LOOSE-{case.number}"
        self.party, self.place = "", "hospital:STM"

    def add(self, action: str, at_least: int = 0, **columns: str | int | None) -> None:
        self.now += timedelta(minutes=self.draw(st.integers(at_least, 600)))
        bands = [self.band, "UNREADABLE"] if action in MOVES else [self.band, None]
        self.case.events.append(
            Event(f"{self.case.number}-{len(self.case.events):03}", self.case.number, self.now,
                  action, band_number=self.draw(st.sampled_from(bands)), **columns)
        )  # fmt: skip

    def open(self) -> None:
        for action in BEFORE:
            if self.draw(st.booleans()):
                self.add(action, place_id=self.draw(st.sampled_from([self.place, None])))
        self.party = self.draw(st.sampled_from(HOMES))
        self.add("received", 1, from_party=self.draw(st.sampled_from(["hospital:STM", None])),
                 to_party=self.party, place_id=self.place)  # fmt: skip

    def step(self) -> None:
        if self.place.startswith("vehicle:"):
            if self.draw(st.booleans()):
                self._arrive()
            else:
                self._stay()
            return
        choice = self.draw(
            st.sampled_from(["depart", "hand over", "store", "prepare", "replace", "stay"])
        )
        if choice == "depart":
            self.place = f"vehicle:V{self.draw(st.integers(1, 2))}"
            self.add("departed", place_id=self.place)
        elif choice == "hand over":
            giver, self.party = (
                self.party,
                self.draw(st.sampled_from([*OUR_PLACES, "funeral_home:FAR"])),
            )
            self.add("transferred", from_party=giver, to_party=self.party, place_id=self._here())
        elif choice == "store":
            unit = self.draw(st.sampled_from(["C1", "C2"]))
            self.add("stored", 1, storage_unit=unit, place_id=self._here())
            self.add("taken_out")
        elif choice == "replace":
            self.band = f"NEW-{self.case.number}-{len(self.case.events)}"
            self.add("band_attached", identifiers_matched=self.draw(st.integers(3, 5)),
                     second_checker="staff-2", place_id=self._here())  # fmt: skip
            self.case.events[-1] = replace(self.case.events[-1], band_number=self.band)
        elif choice == "prepare":
            self.add("embalming_started", place_id=self._here())
            self.add("embalming_finished")
        else:
            self._stay()

    def close(self) -> None:
        if self.place.startswith("vehicle:"):
            self._arrive()
        ends = ["buried", "entombed", "released"]
        if self.place in CREMATORIES:
            ends += ["cremated"] * 3
        end = self.draw(st.sampled_from(ends))
        if end == "cremated":
            self.add("cremation_started", storage_unit="CH-1")
            self.add("cremation_finished", storage_unit="CH-1")
            for action in ("remains_packed", *KEEPING, "remains_released", "effects_returned"):
                if self.draw(st.booleans()):
                    self.add(action, place_id=self.draw(st.sampled_from([None, "ALDER"])),
                             disc_number="D-1")  # fmt: skip
        elif end == "released":
            self.add("released", from_party=self.party, to_party="funeral_home:FAR",
                     place_id="funeral_home:FAR")  # fmt: skip
        else:
            self.add(end, place_id="cemetery:OAK")

    def _arrive(self) -> None:
        self.place = self.draw(st.sampled_from([*OUR_PLACES, "cemetery:OAK", "crematory:FAR"]))
        self.add("arrived", place_id=self.place)

    def _stay(self) -> None:
        party = self.draw(st.sampled_from([None, self.party]))
        self.add(self.draw(st.sampled_from(STILL)), place_id=self._here(), from_party=party,
                 to_party=party)  # fmt: skip

    def _here(self) -> str | None:
        return self.draw(st.sampled_from([self.place, None]))


@st.composite
def lawful_remains(draw: st.DrawFn, number: str = "K1") -> Case:
    """A case of which cremated remains alone were brought, with what was done with them."""
    case = Case(number, None)
    writer = _Writer(draw, case)
    if draw(st.booleans()):
        writer.add("effects_listed")
    brought_by = draw(st.sampled_from(["family:KIN", "crematory:FAR", "funeral_home:FAR"]))
    writer.add("remains_received", 1, from_party=brought_by, to_party="ALDER", disc_number="D-9")
    for action in (*KEEPING, "remains_released", "effects_returned"):
        if draw(st.booleans()):
            writer.add(action, disc_number="D-9")
    case.is_closed = draw(st.booleans())
    return case


@st.composite
def lawful_cases(draw: st.DrawFn, number: str = "K1") -> Case:
    """A case with a lawful chain, open or closed, with mistakes that were corrected or voided."""
    case = Case(number, draw(st.sampled_from([f"B-{number}", None])))
    writer = _Writer(draw, case)
    writer.open()
    for _ in range(draw(st.integers(0, 8))):
        writer.step()
    if draw(st.booleans()):
        writer.close()
        case.is_closed = draw(st.booleans())
    put_on = [e.band_number for e in case.events if e.second_checker]
    if case.band and put_on:
        # The record of the case may have kept the first band, or tell of one put on later.
        case.band = draw(st.sampled_from([case.band, *put_on]))
    case.events += _mistakes(draw, case)
    return case


def _mistakes(draw: st.DrawFn, case: Case) -> list[Event]:
    """Wrong events that others take the place of, counts, and voids: none changes the chain."""
    extra: list[Event] = []
    for at, right in enumerate(list(case.events)):
        kind = draw(st.sampled_from(["none", "none", "none", "corrected", "voided", "counted"]))
        wrong_id = f"{right.event_id}-x"
        wrong = replace(right, event_id=wrong_id, place_id="cemetery:WRONG", to_party="CREM")
        if kind == "corrected":
            case.events[at] = replace(right, corrects_event_id=wrong_id)
            extra.append(wrong)
        elif kind == "voided":
            extra += [wrong, Event(f"{wrong_id}-v", case.number, right.occurred_at, "voided",
                                   corrects_event_id=wrong_id)]  # fmt: skip
        elif kind == "counted":
            extra.append(Event(wrong_id, case.number, right.occurred_at, "counted",
                               place_id="CREM", band_number=case.band))  # fmt: skip
    return extra


def slow_judge(case: Case) -> tuple[str, str] | None:
    """(rule, event_id) of the first break of a chain, or None: one event after the other.

    Written apart from the contract, as an ordinary loop, to be compared with it.
    """
    ids = {e.event_id for e in case.events}
    corrected = {e.corrects_event_id for e in case.events if e.corrects_event_id in ids}
    chain = sorted(
        (e for e in case.events if e.event_id not in corrected
         and e.action != "counted"
         and not (e.action == "voided" and e.corrects_event_id in ids)),
        key=lambda e: (e.occurred_at, e.event_id),
    )  # fmt: skip
    held_by, place, placed_at = None, None, None
    band = _first_band(chain, case.band)
    is_open = is_over = has_remains = False
    before: Event | None = None
    for event in chain:
        if event.corrects_event_id and event.corrects_event_id not in ids:
            return "chain_correction_unknown", event.event_id
        is_over = is_over or _opens_with_remains(event, chain)
        if not is_open and not is_over and event.action not in (*BEFORE, "received"):
            return "chain_not_opened", event.event_id
        if is_over:
            is_remains = event.action.startswith("remains_") or (
                has_remains and event.action in KEEPING
            )
            has_remains = has_remains or event.action.startswith("remains_")
            if not (is_remains and event.disc_number) and event.action not in (
                "effects_listed", "effects_returned", "reviewed",
            ):  # fmt: skip
                return "chain_after_disposition", event.event_id
            continue
        if _breaks_party(event, held_by, is_open):
            return "chain_party_break", event.event_id
        is_twice_stored = (
            before is not None and before.action == event.action == "stored"
            and before.occurred_at == event.occurred_at
            and before.storage_unit != event.storage_unit
        )  # fmt: skip
        breaks_place = _breaks_place(event, place)
        if is_twice_stored or (breaks_place and placed_at == event.occurred_at):
            return "chain_two_places_at_once", event.event_id
        if breaks_place:
            return "chain_place_break", event.event_id
        read = event.band_number if event.band_number != "UNREADABLE" else None
        band = read if is_open and _is_replacement(event) else band
        if band and read and read != band:
            return "chain_band_mismatch", event.event_id
        if event.action in MOVES and not event.band_number:
            return "chain_move_without_band", event.event_id
        is_open = is_open or event.action == "received"
        is_over = event.action in FINAL
        has_remains = has_remains or event.action == "cremation_finished"
        has_remains = has_remains or event.action.startswith("remains_")
        held_by = event.to_party or event.from_party or held_by
        if event.place_id:
            place, placed_at = event.place_id, event.occurred_at
        band, before = band or read, event
    if case.is_closed and not is_over and chain:
        return "chain_closed_without_end", chain[-1].event_id
    return None


def _opens_with_remains(event: Event, chain: list[Event]) -> bool:
    """Brought by somebody from outside, with their disc, and the person never was here."""
    is_brought = bool(event.action == "remains_received" and event.disc_number
                      and ":" in (event.from_party or ""))  # fmt: skip
    return is_brought and not any(
        not e.action.startswith("remains_")
        and e.action not in ("effects_listed", "effects_returned", "reviewed", "voided")
        and not (e.action in KEEPING and e.disc_number)
        for e in chain
    )


def _is_replacement(event: Event) -> bool:
    return bool(
        event.action == "band_attached" and event.band_number not in (None, "UNREADABLE")
        and (event.identifiers_matched or 0) >= 3 and event.second_checker
    )  # fmt: skip


def _first_band(chain: list[Event], band: str | None) -> str | None:
    """The band expected at first; None where the case's is one put on later, in care."""
    is_open = False
    for event in chain:
        if event.action in FINAL:
            return band
        if is_open and _is_replacement(event) and event.band_number == band:
            return None
        is_open = is_open or event.action == "received"
    return band


def _breaks_party(event: Event, held_by: str | None, is_open: bool) -> bool:
    if event.action in ("received", "transferred", "released"):
        if event.to_party is None:
            return True
        opens = event.action == "received" and not is_open
        return not opens and event.from_party != held_by
    named = {event.from_party, event.to_party} - {None}
    return is_open and bool(named) and named != {held_by}


def _breaks_place(event: Event, place: str | None) -> bool:
    in_vehicle = (place or "").startswith("vehicle:")
    to_vehicle = (event.place_id or "").startswith("vehicle:")
    if event.action == "received":
        return place is None and event.place_id is None
    if event.action == "departed":
        return in_vehicle or not to_vehicle
    if event.action == "arrived":
        return event.place_id is None or to_vehicle or not in_vehicle
    if event.action in ("buried", "entombed", "released"):
        return False
    if event.action == "cremation_started" and place not in CREMATORIES:
        return True
    if event.action in INDOORS and in_vehicle:
        return True
    return None not in (event.place_id, place) and event.place_id != place
