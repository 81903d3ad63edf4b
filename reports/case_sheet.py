"""A page for one case: who held the person when, with both sides of each handover."""

from datetime import datetime
from typing import Any

import polars as pl

from reports import words
from reports.cautions import CUSTODY, FINDINGS
from reports.charts.figure import Chart, Head
from reports.charts.timeline import KEY, Gap, Leg, timeline
from reports.content import Block, Content, Facts, Section
from reports.listings import case_sheet as listings
from reports.marks import Mark, State
from reports.titles import Fact, Title, When, say
from reports.warehouse import Warehouse, literal

Parts = dict[str, dict[str, pl.DataFrame]]


def case_sheets(warehouse: Warehouse, paths: dict[str, str]) -> dict[str, Content]:
    """Path -> sheet. The rows of all sheets are read with one statement a table."""
    if not paths:
        return {}
    among = "(" + ", ".join(literal(case) for case in paths) + ")"
    parts: Parts = {
        name: _by_case(warehouse.frame(sql.format(among=among)))
        for name, sql in listings.STATEMENTS.items()
    }
    heads = parts.pop("cases")
    return {
        path: _sheet(warehouse, heads[case].row(0, named=True), parts)
        for case, path in paths.items()
        if case in heads
    }


def _by_case(frame: pl.DataFrame) -> dict[str, pl.DataFrame]:
    return {
        str(key[0]): rows for key, rows in frame.partition_by("case_number", as_dict=True).items()
    }


def _sheet(warehouse: Warehouse, case: dict[str, Any], parts: Parts) -> Content:
    number = str(case["case_number"])
    rows = {name: by_case.get(number) for name, by_case in parts.items()}
    is_held = rows["rejects"] is not None
    tables = {name: listings.table(name, rows[name], is_held) for name in listings.TABLES}
    line: list[Block] = [tables["line"], tables["gaps"]]
    chart = _chart(warehouse, case, rows)
    if chart:
        line.insert(0, chart)
    return Content(
        _title(case),
        f"Case of {warehouse.name_of(str(case['location_id']))}, at the as-of time.",
        Mark.CRITICAL if _must_stay(case) or case["critical_count"] else Mark.MAJOR,
        (
            Section("Before moving", _before_moving(warehouse, case)),
            Section("The person", (_facts(warehouse, case),)),
            Section("Findings", (tables["findings"],)),
            Section("Custody in order of time", tuple(line)),
            Section("Papers before acts", (tables["papers"],)),
            Section("Steps", (tables["steps"],)),
            Section("Records held back", (tables["rejects"],)),
        ),
        cautions=(*CUSTODY, *FINDINGS),
    )


def _title(case: dict[str, Any]) -> Title:
    number = literal(str(case["case_number"]))
    count = case["critical_count"] + case["major_count"] + case["other_count"]
    return say(
        "Case {case} {status}, {findings}",
        case=When(words.visible(str(case["case_number"]))),
        status=_status(case),
        findings=Fact(
            words.counted(count, "finding"),
            count,
            f"select count(*) from marts.finding_people where case_number = {number}",
        ),
    )


def _must_stay(case: dict[str, Any]) -> bool:
    return bool(case["clearance_state"] == "must not move")


def _status(case: dict[str, Any]) -> str:
    """What the title says first: for whoever is in care what the page *Before moving* says."""
    if not case["clearance_state"]:
        gone = "has left care" if case["final_at"] else "is not in care"
        if case["remains_since"]:
            gone = "is cremated and the remains are here"
        return f"{gone}: {_RECORDS[case['custody_status']]}"
    if not _must_stay(case):
        return f"has {case['clearance_state']}: custody is {case['certainty']}"
    if case["certainty"] != "proven":
        why = f"custody is {case['certainty']}"
    elif str(case["against"]).startswith("a hold"):
        why = "a hold is in force"
    else:
        why = "a critical finding is open"
    return f"must not move now: {why}"


_RECORDS = {
    "proven": "the chain of records is whole",
    "not proven": "records of the chain are held back",
    "no events": "no custody event arrived",
}


def _before_moving(warehouse: Warehouse, case: dict[str, Any]) -> tuple[State, ...]:
    """The state and the reasons as the page *Before moving* has them."""
    if not case["clearance_state"]:
        says = "Not in care: no record shows the person in our care."
        if case["final_at"]:
            gone = words.plain(str(case["final_action"]))
            at = words.clock(case["final_at"], warehouse.zone_of(case["location_id"]))
            told = gone.capitalize() if case["remains_since"] else f"Has left care: {gone}"
            says = f"{told}, {at}."
        return (State(Mark.NOT_APPLICABLE, says), *_remains(warehouse, case))
    states = []
    if _must_stay(case):
        against = str(case["against"]).rstrip(".")
        states.append(State(Mark.CRITICAL, f"Must not move now: {against}."))
    if case["outstanding"]:
        states.append(State(Mark.MINOR, f"Papers outstanding: {case['outstanding']}."))
    free = ("No objection on record. This is no permission: two people still read the band against "
            "the papers, and a licensed practitioner decides.")  # fmt: skip
    return tuple(states) or (State(Mark.INFO, free),)


def _remains(warehouse: Warehouse, case: dict[str, Any]) -> tuple[State, ...]:
    """What is left with us of somebody who was cremated."""
    if not case["remains_since"]:
        return ()
    left = case["remains_left"]
    what = words.counted(int(left), "container") if left is not None else "not counted"
    where = ", ".join(str(case[c]) for c in ("remains_place", "remains_unit") if case[c])
    at = words.clock(case["remains_since"], warehouse.zone_of(case["remains_place"]))
    says = (
        f"The cremated remains are here: {what}, disc {case['remains_disc'] or 'not on record'}, "
        f"{where or 'no place on record'}, since {at}."
    )
    if not case["remains_hold"]:
        return (State(Mark.INFO, says),)
    hold = f"A hold is in force (event {case['remains_hold']}): they must not be handed out now."
    return (State(Mark.CRITICAL, f"{says} {hold}"),)


def _facts(warehouse: Warehouse, case: dict[str, Any]) -> Facts:
    name = ", ".join(str(case[c]) for c in ("family_name", "given_name") if case[c])
    unknown = "declared unidentified" if case["is_unidentified"] else "not in the file"
    last = case["last_at"]
    return Facts((
        ("Name", name or unknown),
        ("Home", warehouse.name_of(str(case["location_id"]))),
        ("Records of the chain", words.CHAIN_RECORDS[str(case["custody_status"])]),
        ("In care", "yes" if case["is_in_care"] else "no"),
        ("Custody: where and who, how sure", str(case["certainty"] or "not in care")),
        ("Held by", str(case["party_id"] or "not known")),
        ("Place", str(case["place_id"] or "not known")),
        ("Unit", str(case["storage_unit"] or "none")),
        *((("Named to receive", str(case["named_receiver"] or "nobody, in the file")),)
          if case["clearance_state"] else ()),
        *((("May receive the remains", str(case["remains_receivers"] or "nobody, in the file")),)
          if case["remains_receivers"] or case["remains_since"] else ()),
        ("Last move or review", f"{words.plain(str(case['last_action']))}, "
         f"{words.clock(last, warehouse.zone_of(case['place_id']))}" if last else "none"),
        ("Record of the case", f"{case['file_name']} line {case['line']}"),
    ))  # fmt: skip


def _chart(
    warehouse: Warehouse, case: dict[str, Any], rows: dict[str, pl.DataFrame | None]
) -> Chart | None:
    legs = rows["legs"]
    if legs is None:
        return None
    zone = warehouse.zone_of(case["location_id"])

    def clock(at: datetime) -> datetime:
        return words.local(at, zone).replace(tzinfo=None)

    held = [
        Leg(str(leg["party_id"] or "nobody named"), clock(leg["started_at"]),
            clock(leg["ended_at"]) if leg["ended_at"] else None, str(leg["handover"]))
        for leg in legs.iter_rows(named=True) if leg["started_at"]
    ]  # fmt: skip
    gaps = [
        Gap(_holder(held, clock(gap["occurred_at"])), clock(gap["occurred_at"]),
            float(gap["minutes"] or 0))
        for gap in (rows["gaps"].iter_rows(named=True) if rows["gaps"] is not None else ())
        if gap["occurred_at"] and held
    ]  # fmt: skip
    head = Head(
        "line",
        "Who held the person",
        f"Elapsed time, clock of {zone}.",
        "line",
        KEY,
    )
    return timeline(head, held, gaps, clock(warehouse.as_of)) if held else None


def _holder(legs: list[Leg], at: datetime) -> str:
    """Who held the person at that instant, as the record has it; the lane for a gap."""
    return next((leg.holder for leg in reversed(legs) if leg.started < at), legs[0].holder)
