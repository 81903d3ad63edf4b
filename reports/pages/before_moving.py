"""Before anybody is moved: who must not be, who waits for papers, of whom nothing is against it."""

from reports import words
from reports.audiences import COMPLIANCE, OPERATIONS, Audience
from reports.cautions import CUSTODY, FINDINGS
from reports.content import Content, Page, Section
from reports.listings.clearances import free_table, outstanding_table, stopped_table
from reports.listings.findings import named_table
from reports.marks import Mark
from reports.titles import Title, say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="before_moving",
    name="Before moving",
    question="Who must not be moved now, and what has to come first?",
    audiences=(OPERATIONS, COMPLIANCE),
    marts=("marts.clearances", "marts.findings", "marts.finding_people"),
    feeds=("cases", "custody_events", "locations"),
    families=("chains", "identity", "papers", "place"),
    order=1,
)

_STOPPED = "select case_number from marts.clearances where clearance_state = 'must not move'"
_COUNT = "select count(*) from marts.clearances where clearance_state = "


def build(warehouse: Warehouse, audience: Audience) -> Content:
    stopped = Section("Must not move now", (stopped_table(warehouse),))
    stops = warehouse.count(_COUNT + "'must not move'")
    waits = warehouse.count(_COUNT + "'papers outstanding'")
    return Content(
        _title(warehouse, stops),
        "People in care at the as-of time, by what the records say against moving them on.",
        Mark.CRITICAL if stops else Mark.MINOR if waits else Mark.CHECKED,
        (
            stopped,
            Section("Findings that stop somebody", (
                named_table(_STOPPED, "('critical', 'major')"),
            )),
            Section("Papers outstanding", (outstanding_table(warehouse),)),
            Section("No objection on record", (free_table(),)),
        ),
        definitions=_DEFINITIONS,
        cautions=(*CUSTODY, *FINDINGS),
        lead=stopped,
    )


def _title(warehouse: Warehouse, stops: int) -> Title:
    waiting = warehouse.fact(
        _COUNT + "'papers outstanding'",
        lambda v: f"{words.number(v)} {words.verb(v, 'waits', 'wait')}",
    )
    free = warehouse.fact(_COUNT + "'no objection on record'", words.number)
    if not stops:
        return say(
            "Nobody in care is stopped by a record; {waiting} for papers, and against {free} "
            "nothing is on record",
            waiting=waiting,
            free=free,
        )
    stopped = warehouse.fact(
        _COUNT + "'must not move'", lambda v: words.counted(v, "person", "people")
    )
    return say(
        "{stopped} must not move now; {waiting} for papers, and against {free} nothing is on "
        "record",
        stopped=stopped,
        waiting=waiting,
        free=free,
    )


_DEFINITIONS = (
    ("Must not move", "Custody is contradicted or not proven, a hold is in force, or a critical "
                      "finding is open. An answer of the compliance officer lifts a finding until "
                      "its last day."),
    ("Papers outstanding", "A permit, an authorisation, a medical clearance, the answer about an "
                           "implant or its removal is not on record, the disposition is not known, "
                           "or the waiting period runs."),
    ("No objection on record", "Nothing in the records is against it. That is not a permission."),
)  # fmt: skip
