"""Properties of the custody contract over random chains (hypothesis)."""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.validation.chains import (
    OUR_PLACES,
    START,
    Case,
    Event,
    lawful_cases,
    lawful_remains,
    slow_judge,
)

SETTINGS = settings(
    max_examples=20, deadline=None, derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip

several_cases = st.integers(1, 5).flatmap(
    lambda n: st.tuples(*(
        st.one_of(lawful_cases(number=f"K{i}"), lawful_remains(number=f"K{i}")) for i in range(n)
    ))
)


@pytest.fixture
def judged(court) -> Callable[..., list]:
    """Judge cases typed; the rejects of their custody events, and the line of each event."""

    def run(*cases: Case) -> tuple[list, dict[str, int]]:
        court.accept("locations", [
            {"location_id": place, "location_kind": "crematory" if place == "CREM" else "other"}
            for place in OUR_PLACES
        ])  # fmt: skip
        court.accept("cases", [
            {"case_number": c.number, "band_number": c.band,
             "case_status": "closed" if c.is_closed else "open"} for c in cases
        ])  # fmt: skip
        events = [event for case in cases for event in case.events]
        # The order of lines means nothing: number them by the text of the event.
        events.sort(key=lambda e: hash_of(e.event_id))
        court.accept("custody_events", [event.record for event in events])
        return court.judge_typed("custody_events"), {
            e.event_id: i + 2 for i, e in enumerate(events)
        }

    return run


def hash_of(text: str) -> int:
    return int.from_bytes(text.encode()[::-1], "big") % 7919


def found_breaks(rejects: list) -> dict[str, tuple[str, str]]:
    """Case -> (rule, event) of its break."""
    return {
        r.key.partition("-")[0]: (r.rule, r.key) for r in rejects if r.rule not in ("chain_held",)
    }


@SETTINGS
@given(cases=several_cases)
def test_valid_chain_is_never_held_back(judged, cases: tuple[Case, ...]) -> None:
    rejects, _ = judged(*cases)
    assert rejects == []
    assert [slow_judge(case) for case in cases] == [None] * len(cases)


def drop(event: Event, draw: st.DrawFn) -> list[Event]:
    return []


def retime(event: Event, draw: st.DrawFn) -> list[Event]:
    return [replace(event, occurred_at=START + timedelta(minutes=draw(st.integers(0, 4000))))]


def reassign(event: Event, draw: st.DrawFn) -> list[Event]:
    column = draw(st.sampled_from(["from_party", "to_party", "place_id"]))
    return [replace(event, **{column: draw(st.sampled_from([*OUR_PLACES, "family:KIN", None]))})]


def reread(event: Event, draw: st.DrawFn) -> list[Event]:
    return [replace(event, band_number=draw(st.sampled_from(["B-OTHER", "UNREADABLE", None])))]


def check_alone(event: Event, draw: st.DrawFn) -> list[Event]:
    few = draw(st.booleans())
    return [replace(event, second_checker=None, identifiers_matched=2 if few else 3)]


def reband(event: Event, draw: st.DrawFn) -> list[Event]:
    band = draw(st.sampled_from(["B-OTHER", event.band_number, None]))
    return [replace(event, action="band_attached", band_number=band, second_checker="staff-2",
                    identifiers_matched=3)]  # fmt: skip


def misname(event: Event, draw: st.DrawFn) -> list[Event]:
    return [replace(event, corrects_event_id="EV-NOWHERE")]


def rename(event: Event, draw: st.DrawFn) -> list[Event]:
    action = draw(st.sampled_from(["stored", "buried", "received", "departed", "remains_packed"]))
    disc = draw(st.sampled_from([event.disc_number, "D-1", None]))
    return [replace(event, action=action, disc_number=disc)]


CHANGES = (drop, retime, reassign, reread, check_alone, reband, misname, rename)


@settings(SETTINGS, max_examples=50)
@given(cases=several_cases, data=st.data())
def test_changed_chain_breaks_exactly_where_the_slow_judge_says(
    judged, cases: tuple[Case, ...], data: st.DataObject
) -> None:
    for case in cases:
        at = data.draw(st.integers(0, len(case.events) - 1))
        change = data.draw(st.sampled_from(CHANGES))
        case.events[at : at + 1] = change(case.events[at], data.draw)
    rejects, lines = judged(*cases)
    expected = {case.number: slow_judge(case) for case in cases}
    assert found_breaks(rejects) == {k: v for k, v in expected.items() if v is not None}
    assert all(r.line == lines[r.key] for r in rejects)
    for case in cases:
        if expected[case.number] is not None:
            others = {e.event_id for e in case.events} - {expected[case.number][1]}
            assert others == {r.key for r in rejects
                              if r.rule == "chain_held" and r.key in others}  # fmt: skip


@SETTINGS
@given(case=lawful_cases(), data=st.data())
def test_rejected_record_holds_its_whole_case(judged, case: Case, data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(case.events) - 1))
    bad = case.events[at] = replace(case.events[at], from_party="somebody")
    rejects, _ = judged(case)
    corrected = {e.corrects_event_id for e in case.events}
    rules = {r.key: r.rule for r in rejects}
    assert rules.pop(bad.event_id) == "unknown_party"
    if bad.event_id in corrected or bad.action == "counted":
        # The wrong record was corrected away, or is a count: the chain stands without it.
        assert rules == {}
    else:
        assert rules == {e.event_id: "chain_held" for e in case.events if e is not bad}
