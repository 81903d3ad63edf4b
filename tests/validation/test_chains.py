"""Custody chains by worked cases: what is named, what is held with it, what heals.

The invariants are those of the open visibility-event model (GS1 EPCIS 2.0: an event has one
eventTime and one eventTimeZoneOffset, recordTime when it was captured; events are never altered,
an errorDeclaration points at the corrective event) and of the NIST glossary's chain of custody
(CNSSI 4009: each person who handled, date and time, each transfer).
"""

import tomllib
from datetime import timedelta

import pytest

from tests.validation.conftest import CHAIN_FILE
from validation.catalogue import Edit, Example
from validation.notes import note_records


def chain(*edits: Edit, **case: str) -> Example:
    return Example("custody_events", chain=edits, case=case)


def change(step: str, **columns: str) -> Edit:
    return Edit(step, change=columns)


def drop(step: str) -> Edit:
    return Edit(step, drop=True)


@pytest.fixture
def the_break(court):
    """Judge edits of the lawful chain: (rule, step's event number, detail) of the one break."""

    def judge(*edits: Edit, **case: str) -> tuple[str, str, str]:
        rejects = court.judge_example(chain(*edits, **case))
        (found,) = [r for r in rejects if r.rule != "chain_held"]
        return found.rule, found.key, found.detail

    return judge


def test_break_names_both_events_with_file_and_line_and_the_minutes_between(the_break) -> None:
    rule, event, detail = the_break(change("transferred_to_crematory", from_party="ALDER"))
    assert (rule, event) == ("chain_party_break", "EV-011")
    # CARE took over on 2026-06-01 at 08:40 and the next handover is on 2026-06-05 at 09:55:
    # 4 days, 1 hour and 15 minutes = 5,835 minutes.
    assert detail == (
        "After EV-004 transferred (custody_events-2026-11-16.csv, line 6) the person was with "
        "CARE; EV-011 transferred (custody_events-2026-11-16.csv, line 13) says ALDER gives and "
        "CREM takes over. 5835 minutes lie between."
    )


def test_every_other_record_of_the_case_is_held_and_names_the_break(court) -> None:
    rejects = court.judge_example(chain(change("stored", band_number="B-7")))
    (found,) = [r for r in rejects if r.rule != "chain_held"]
    held = [r for r in rejects if r.rule == "chain_held"]
    assert len(held) == len(court.chain()) - 1
    assert {r.line for r in held} | {found.line} == set(range(2, 2 + len(court.chain())))
    assert {r.detail for r in held} == {
        "The chain of this case breaks at EV-006 stored (custody_events-2026-11-16.csv, line 8) "
        "(chain_band_mismatch)."
    }


def test_first_of_two_breaks_is_named(the_break) -> None:
    edits = (change("stored", band_number=""), change("transferred", from_party="BIRCH"))
    assert the_break(change("transferred", from_party="CREM"), edits[0])[:2] == (
        "chain_party_break", "EV-004",
    )  # fmt: skip
    assert the_break(edits[0])[:2] == ("chain_move_without_band", "EV-006")


@pytest.mark.parametrize(
    ("edits", "rule", "event"),
    [
        ((drop("arrived"),), "chain_place_break", "EV-004"),
        ((drop("departed"),), "chain_place_break", "EV-003"),
        ((drop("departed_to_crematory"),), "chain_place_break", "EV-010"),
        ((drop("arrived_at_crematory"),), "chain_place_break", "EV-011"),
        ((drop("transferred"),), "chain_party_break", "EV-011"),
        ((drop("received"),), "chain_not_opened", "EV-002"),
        ((change("departed", place_id="CARE"),), "chain_place_break", "EV-002"),
        ((change("departed", place_id=""),), "chain_place_break", "EV-002"),
        ((change("arrived", place_id="vehicle:V2"),), "chain_place_break", "EV-003"),
        ((change("arrived_at_crematory", place_id="BIRCH"),), "unknown_location", "EV-010"),
        ((change("arrived_at_crematory", place_id="ALDER"),), "chain_place_break", "EV-011"),
        ((change("transferred", to_party=""),), "chain_party_break", "EV-004"),
        ((change("received", to_party=""),), "chain_party_break", "EV-001"),
        ((change("stored", from_party="ALDER"),), "chain_party_break", "EV-006"),
        ((drop("band_attached"), change("received", place_id="")), "chain_place_break", "EV-001"),
        ((change("remains_packed", disc_number=""),), "chain_after_disposition", "EV-014"),
        ((change("held", action="hold_placed", occurred_at="2026-06-06T10:00-05:00"),),
         "chain_after_disposition", "EV-090"),
        # The disc of nobody's cremation: the person was buried, and no remains ever came.
        ((change("cremation_finished", action="buried"), drop("remains_packed"),
          change("remains_released", action="stored")),
         "chain_after_disposition", "EV-015"),
        ((change("cremation_finished", band_number="B-9"),), "chain_band_mismatch", "EV-013"),
        # A cremation where no crematory is: the way there is missing altogether.
        (
            (drop("departed_to_crematory"), drop("arrived_at_crematory"),
             drop("transferred_to_crematory")),
            "chain_place_break", "EV-012",
        ),
    ],
)  # fmt: skip
def test_what_is_missing_or_wrong_is_named(the_break, edits, rule: str, event: str) -> None:
    assert the_break(*edits)[:2] == (rule, event)


@pytest.mark.parametrize(
    "edits",
    [
        (),
        (drop("band_attached"),),
        (drop("identity_checked"), drop("refrigerated"), drop("taken_out")),
        # After the cremation what carries the disc is of the remains, which have no band.
        tuple(
            change(f"of_remains_{minute}", action=action, band_number="",
                   occurred_at=f"2026-06-06T10:{minute}-05:00", disc_number="D-26-0412")
            for minute, action in enumerate(
                ("stored", "identity_checked", "hold_placed", "taken_out", "stored", "reviewed",
                 "counted", "hold_lifted"), start=10)
        ),
        (change("effects", action="effects_returned", occurred_at="2026-06-09T10:00-05:00"),),
        # Touching instants are one after the other, not at once.
        (change("departed_to_crematory", occurred_at="2026-06-05T09:00-05:00"),),
        # A count is a matter of findings, whatever it saw.
        (change("count", action="counted", occurred_at="2026-06-02T20:00-05:00",
                place_id="CREM", band_number="B-7"),),
        # Received from somebody who did not sign, at a place known from the band.
        (change("received", from_party="", place_id=""),),
        # To an outside crematory, and the remains back.
        (change("arrived_at_crematory", place_id="crematory:FAR"),
         change("transferred_to_crematory", to_party="crematory:FAR", place_id="")),
    ],
)  # fmt: skip
def test_lawful_variations_are_accepted(court, edits) -> None:
    assert court.judge_example(chain(*edits)) == []


REMAINS = ("remains_packed", "remains_released")
BROUGHT = {"action": "remains_received", "occurred_at": "2026-06-02T10:00-05:00",
           "from_party": "family:KIN", "to_party": "ALDER", "band_number": "",
           "disc_number": "D-88-1", "item_count": "1"}  # fmt: skip


def ashes_alone(*others: Edit, **columns: str) -> tuple[Edit, ...]:
    """Only what was done with remains that a family brought for interment."""
    steps = tomllib.loads(CHAIN_FILE.read_text(encoding="utf-8"))["steps"]
    gone = [drop(step) for step in steps if step != "remains_released"]
    handed = change("remains_released", disc_number="D-88-1", band_number="")
    return *gone, change("brought", **{**BROUGHT, **columns}), handed, *others


@pytest.mark.parametrize("from_party", ["family:KIN", "crematory:FAR", "funeral_home:FAR"])
@pytest.mark.parametrize("case_status", ["open", "closed"])
def test_remains_alone_are_brought_kept_and_handed_out(
    court, from_party: str, case_status: str
) -> None:
    shelved = change("shelved", action="stored", occurred_at="2026-06-02T11:00-05:00",
                     band_number="", disc_number="D-88-1", storage_unit="R-1")  # fmt: skip
    edits = ashes_alone(shelved, from_party=from_party)
    assert court.judge_example(chain(*edits, case_status=case_status)) == []


@pytest.mark.parametrize(
    ("columns", "other"),
    [
        # Nobody outside brought them, so somebody of ours had the person.
        ({"from_party": ""}, None),
        ({"from_party": "CREM"}, None),
        ({"disc_number": ""}, None),
        # The person was here, before or after: the receipt is missing.
        ({}, change("viewed", action="viewed", occurred_at="2026-06-01T10:00-05:00")),
        ({}, change("viewed", action="viewed", occurred_at="2026-06-03T10:00-05:00")),
    ],
)
def test_remains_of_somebody_who_was_here_open_no_chain(
    the_break, columns: dict[str, str], other: Edit | None
) -> None:
    edits = ashes_alone(*([other] if other else []), **columns)
    assert the_break(*edits)[0] == "chain_not_opened"


def test_open_case_may_end_anywhere_and_a_closed_one_may_not(court, the_break) -> None:
    later = [drop(s) for s in ("cremation_finished", "remains_packed", "remains_released")]
    assert court.judge_example(chain(*later, case_status="open")) == []
    assert the_break(*later)[:2] == ("chain_closed_without_end", "EV-012")


def test_band_of_a_case_without_one_is_the_first_that_was_read(court, the_break) -> None:
    assert court.judge_example(chain(band_number="")) == []
    other = change("stored", band_number="B-7")
    assert the_break(other, band_number="")[:2] == ("chain_band_mismatch", "EV-006")


# A band replaced: the twin of a mismatch.

LATER = ("refrigerated", "taken_out", "departed_to_crematory", "arrived_at_crematory",
         "transferred_to_crematory", "cremation_started", "cremation_finished")  # fmt: skip
REPLACED = {"action": "band_attached", "occurred_at": "2026-06-01T09:30-05:00",
            "band_number": "B-7", "identifiers_matched": "3",
            "second_checker": "staff-9"}  # fmt: skip


def rebanded(**columns: str) -> tuple[Edit, ...]:
    reads = tuple(change(step, band_number="B-7") for step in LATER if step != "refrigerated")
    return change("replaced", **{**REPLACED, **columns}), *reads


@pytest.mark.parametrize("band", ["B-100001", "B-7", ""])
def test_band_put_on_by_two_people_in_care_is_the_band_from_then_on(court, band: str) -> None:
    """The record of the case may tell of the old band, of the new one or of none."""
    assert court.judge_example(chain(*rebanded(), band_number=band)) == []


@pytest.mark.parametrize(
    "columns",
    [
        {"second_checker": ""},
        {"identifiers_matched": "2"},
        {"identifiers_matched": ""},
        # Not in care yet: the person was received with another band than this one.
        {"occurred_at": "2026-06-01T07:45-05:00"},
    ],
)
def test_band_put_on_by_one_or_on_less_than_three_identifiers_is_another(
    the_break, columns: dict[str, str]
) -> None:
    assert the_break(*rebanded(**columns))[:2] == ("chain_band_mismatch", "EV-090")


def test_old_band_read_after_it_was_replaced_is_a_mismatch_with_the_new_one(the_break) -> None:
    late = change("taken_out", band_number="B-100001")
    kept = [edit for edit in rebanded() if edit.step != "taken_out"]
    rule, event, detail = the_break(*kept, late)
    assert (rule, event) == ("chain_band_mismatch", "EV-008")
    assert detail.startswith("The band read or put on before is B-7; EV-008 taken_out")


def test_new_band_read_before_it_was_put_on_is_a_mismatch(the_break) -> None:
    early = change("departed", band_number="B-7")
    assert the_break(*rebanded(), early)[:2] == ("chain_band_mismatch", "EV-002")


# Corrections: GS1 EPCIS 2.0, errorDeclaration. The wrong event stays on record.

WRONG = change("mistake", action="arrived", occurred_at="2026-06-01T08:35-05:00", place_id="ALDER")


def test_corrected_mistake_breaks_no_chain_and_stays_on_record(court) -> None:
    right = change("arrived", corrects_event_id="mistake")
    assert court.judge_example(chain(WRONG, right)) == []
    accepted = court.con.execute("select count(*) from accepted.custody_events").fetchall()
    assert accepted == [(len(court.chain()) + 1,)]


def test_mistake_without_its_correction_breaks_the_chain(the_break) -> None:
    assert the_break(WRONG)[:2] == ("chain_two_places_at_once", "EV-090")


def test_voided_event_is_out_of_the_chain(court, the_break) -> None:
    void = change("arrived", action="voided", corrects_event_id="departed", place_id="")
    assert the_break(void)[0] == "chain_place_break"
    lawful = chain(change("refrigerated", action="voided", corrects_event_id="identity_checked"))
    assert court.judge_example(lawful) == []


def test_corrections_in_a_circle_correct_nothing(the_break) -> None:
    circle = (change("stored", corrects_event_id="refrigerated"),
              change("refrigerated", corrects_event_id="stored"))  # fmt: skip
    assert the_break(*circle)[:2] == ("chain_correction_unknown", "EV-006")
    itself = change("stored", corrects_event_id="stored")
    assert the_break(itself)[:2] == ("chain_correction_unknown", "EV-006")


def test_correction_of_a_correction_takes_its_place(court) -> None:
    first = change("arrived", place_id="ALDER", corrects_event_id="mistake")
    second = change("second", action="arrived", occurred_at="2026-06-01T08:36-05:00",
                    place_id="CARE", corrects_event_id="arrived")  # fmt: skip
    assert court.judge_example(chain(WRONG, first, second)) == []


def test_instant_is_kept_with_its_offset(court) -> None:
    """GS1 EPCIS 2.0: eventTime and eventTimeZoneOffset are both mandatory."""
    court.judge_example(chain())
    offsets = court.con.execute(
        "select distinct occurred_at - occurred_at_local from accepted.custody_events"
    ).fetchall()
    assert offsets == [(timedelta(hours=5),)]
    missing = court.judge_example(chain(change("stored", occurred_at="")))
    assert ("missing_value", "EV-006") in {(r.rule, r.key) for r in missing}


#: The night of 1 November 2026: 01:00 to 02:00 came twice in America/Chicago (zone database).
_NIGHT = {"case_status": "open", "closed_at": "", "first_call_at": "2026-10-31T22:00-05:00",
          "date_of_death": "2026-10-31"}  # fmt: skip


def _night(
    departed: str,
    arrived: str,
    recorded: str = "2026-11-01T01:52-05:00",
    arrival_recorded: str = "2026-11-01T01:55-06:00",
) -> Example:
    """Three events of that night; the arrival was recorded in the second hour."""
    kept = {
        "received": {"occurred_at": "2026-11-01T00:50-05:00"},
        "departed": {"occurred_at": departed, "recorded_at": recorded},
        "arrived": {"occurred_at": arrived, "recorded_at": arrival_recorded},
    }
    steps = tomllib.loads(CHAIN_FILE.read_text(encoding="utf-8"))["steps"]
    edits = [change(step, **columns) for step, columns in kept.items()]
    edits += [drop(step) for step in steps if step not in kept]
    return chain(*edits, **_NIGHT)


@pytest.mark.parametrize("departed", ["2026-11-01T01:50-05:00", "2026-11-01T01:50"])
def test_the_later_of_two_instants_is_taken_when_the_chain_holds_with_it(
    court, departed: str
) -> None:
    assert court.judge_example(_night(departed, "2026-11-01T01:20")) == []
    assert court.con.execute(
        "select event_id, strftime(occurred_at, '%H:%M'), strftime(occurred_at_local, '%H:%M') "
        "from accepted.custody_events order by occurred_at"
    ).fetchall() == [
        ("EV-001", "05:50", "00:50"),
        ("EV-002", "06:50", "01:50"),
        ("EV-003", "07:20", "01:20"),
    ]
    note_records(court.con)
    told = {n.key: n.detail for n in court.rejects("custody_events", "notes")}
    assert told["EV-003"] == (
        "The clocks showed it at 2026-11-01 06:20 UTC and at 2026-11-01 07:20 UTC; the later is "
        "taken, because the chain of custody holds with it."
    )
    assert "earlier is taken." in told.get("EV-002", "the earlier is taken.")


def test_what_was_written_down_before_the_later_instant_did_not_happen_then(court) -> None:
    departed = "2026-11-01T01:50-05:00"
    night = _night(departed, "2026-11-01T01:20", arrival_recorded="2026-11-01T01:25-05:00")
    rejects = court.judge_example(night)
    assert [(r.rule, r.key) for r in rejects if r.rule != "chain_held"] == [
        ("chain_place_break", "EV-003")
    ]
    assert court.con.execute("select taken from quality.doubled_times").fetchall() == [("earlier",)]


def test_what_was_written_down_at_a_doubled_time_too_is_of_the_same_hour(court) -> None:
    departed = "2026-11-01T01:50-05:00"
    night = _night(departed, "2026-11-01T01:20", arrival_recorded="2026-11-01T01:25")
    assert court.judge_example(night) == []
    assert court.con.execute(
        "select strftime(occurred_at, '%H:%M'), strftime(recorded_at, '%H:%M') "
        "from accepted.custody_events where event_id = 'EV-003'"
    ).fetchall() == [("07:20", "07:25")]


def test_where_no_record_has_an_offset_the_place_in_the_file_tells_the_order(court) -> None:
    """Departed at ten past one, arrived at five past one on a clock that had gone back."""
    times = ("2026-11-01T01:10", "2026-11-01T01:05")
    assert court.judge_example(_night(*times, *times)) == []
    assert court.con.execute(
        "select strftime(occurred_at, '%H:%M'), strftime(recorded_at, '%H:%M') "
        "from accepted.custody_events where event_id > 'EV-001' order by event_id"
    ).fetchall() == [("06:10", "06:10"), ("07:05", "07:05")]


def test_a_chain_that_neither_instant_mends_is_broken_as_it_was_read(court) -> None:
    departed = "2026-11-01T03:00-06:00"
    rejects = court.judge_example(_night(departed, "2026-11-01T01:20", departed))
    assert [(r.rule, r.key) for r in rejects if r.rule != "chain_held"] == [
        ("chain_place_break", "EV-003")
    ]
    assert court.con.execute("select taken from quality.doubled_times").fetchall() == [("earlier",)]


def test_a_chain_that_holds_with_the_earlier_instant_keeps_it(court) -> None:
    assert court.judge_example(_night("2026-11-01T00:55-05:00", "2026-11-01T01:20")) == []
    assert court.con.execute("select taken from quality.doubled_times").fetchall() == [("earlier",)]
