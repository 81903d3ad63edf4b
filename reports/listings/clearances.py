"""Tables of who may move on: who must not, who waits for papers, against whom nothing is known."""

from reports import words
from reports.listings.census import (
    CASE,
    CERTAINTY_ORDER,
    NAMED,
    NAMES,
    PERSON,
    PERSON_NAME,
    PLACE_AND_UNIT,
    WHERE,
)
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse


def stopped_table(warehouse: Warehouse) -> Listing:
    """Who must not move now, with everything that stands against it."""
    people = warehouse.count("select count(*) from marts.clearances")
    return Listing(
        "must-not-move",
        "Must not move now, and why",
        f"""select case_number, {PERSON_NAME}, location_id, place_id,
    storage_unit, {PLACE_AND_UNIT}, certainty, against, outstanding,
    round(hours_in_care, 1) as hours_in_care
from marts.clearances
where clearance_state = 'must not move'
order by {CERTAINTY_ORDER}, hours_in_care desc, case_number""",
        (
            # The reason beside the case: on a narrow screen the rest is off to the right.
            CASE,
            Column("against", "What stands against it"),
            NAMED,
            WHERE,
            Column("certainty", "Custody", Kind.MARK),
            Column("hours_in_care", "In care (h)", Kind.NUMBER, 1),
        ),
        personal=NAMES,
        source=mart("clearances"),
        none=State(
            Mark.CHECKED,
            f"{words.counted(people, 'person', 'people')} in care checked. Nothing on record "
            "stops anyone from being moved.",
        ),
        note="Nobody on this list goes anywhere, and nothing that cannot be undone is done, until "
        "the reason is cleared by a record or answered by the compliance officer.",
        shown=100,
    )


def outstanding_table(warehouse: Warehouse) -> Listing:
    """Everyone for whom a paper is outstanding, those who must not move anyway first."""
    stopped = warehouse.count(
        "select count(*) from marts.clearances "
        "where outstanding is not null and clearance_state = 'must not move'"
    )
    also = (
        f" {words.number(stopped)} of these people must not move now anyway, and "
        f"{words.verb(stopped, 'stands', 'stand')} first."
        if stopped
        else ""
    )
    return Listing(
        "papers-outstanding",
        "What has to come before final disposition",
        f"""select case_number, {PERSON_NAME}, location_id, place_id,
    storage_unit, {PLACE_AND_UNIT}, disposition_kind, named_receiver, outstanding,
    earliest_cremation_at,
    round(hours_in_care, 1) as hours_in_care, clearance_state
from marts.clearances
where outstanding is not null
order by clearance_state, outstanding, hours_in_care desc, case_number""",
        (
            CASE,
            Column("outstanding", "Outstanding"),
            NAMED,
            WHERE,
            Column("disposition_kind", "Disposition", Kind.CODE),
            Column("earliest_cremation_at", "If cremated, not before", Kind.INSTANT,
                   zone_by="place_id", empty="no wait known"),
            Column("hours_in_care", "In care (h)", Kind.NUMBER, 1),
        ),
        personal=NAMES,
        source=mart("clearances"),
        none=State(Mark.CHECKED, "Nobody in care waits for a paper."),
        note=f"{_groups(warehouse)}The waiting period is the longest of the arranging home's law "
        "and of those of our "
        f"crematories, and of an unknown time of death at its latest.{also}",
    )  # fmt: skip


def _groups(warehouse: Warehouse) -> str:
    """How many wait for the same, so that a long list of equal rows is read at a glance."""
    rows = warehouse.rows(
        "select outstanding, count(*) from marts.clearances where outstanding is not null "
        "group by outstanding order by count(*) desc, outstanding limit 4"
    )
    told = [f"{words.number(int(str(n)))} for {what}" for what, n in rows if int(str(n)) > 1]
    return f"The same things together: {', '.join(told)}. " if told else ""


def free_table() -> Listing:
    return Listing(
        "no-objection",
        "No objection on record",
        f"""select case_number, {PERSON_NAME}, location_id, place_id,
    storage_unit, {PLACE_AND_UNIT}, disposition_kind, named_receiver, earliest_cremation_at,
    round(hours_in_care, 1) as hours_in_care
from marts.clearances
where clearance_state = 'no objection on record'
order by hours_in_care desc nulls first, case_number""",
        (
            *PERSON,
            WHERE,
            Column("disposition_kind", "Disposition", Kind.CODE),
            Column("named_receiver", "Named to receive", Kind.ID),
            Column("hours_in_care", "In care (h)", Kind.NUMBER, 1),
        ),
        personal=NAMES,
        source=mart("clearances"),
        none=State(Mark.NOT_APPLICABLE, "Of nobody in care are all papers on record."),
        note="This is no permission. Two people still read the band against the papers, where the "
        "person goes among them, and a licensed practitioner decides.",
    )
