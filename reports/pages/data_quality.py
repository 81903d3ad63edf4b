"""Can these pages be trusted: files, records, checks that did not run."""

from pipelines.feeds import GROUP_FEEDS
from reports import words
from reports.audiences import ACCOUNTS, COMPLIANCE, OPERATIONS, OWNER, Audience
from reports.content import Content, Page, Section
from reports.listings.quality import (
    GIVEN,
    changes_table,
    corrections_table,
    files_table,
    held_by_file_table,
    later_table,
    notes_table,
    set_aside_table,
)
from reports.listings.rules import rules_table, unchecked_table
from reports.marks import Mark, State
from reports.tables import Listing
from reports.titles import say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="data_quality",
    name="Data quality",
    question="Which files came, what could not be checked, which numbers are weak?",
    audiences=(OPERATIONS, COMPLIANCE, OWNER, ACCOUNTS),
    marts=("quality.file_accounts", "marts.rule_states", "marts.held_back",
           "marts.control_totals"),
    feeds=tuple(GROUP_FEEDS),
    families=("reading", "corrections", "records", "chains", "care", "chemicals", "identity",
              "merchandise", "papers", "place", "prices", "remains", "turnaround"),
    order=70,
)  # fmt: skip

_FILES = f"select count(*) from quality.file_accounts where {GIVEN}"
_UNCHECKED = "select count(*) from marts.rule_states where state = 'not checked'"
_HELD = (
    "select coalesce(sum(held_back + unreadable), 0)::bigint from quality.file_accounts "
    f"where {GIVEN}"
)

_READ = f"select coalesce(sum(records_read), 0)::bigint from quality.file_accounts where {GIVEN}"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    unchecked = warehouse.count(_UNCHECKED)
    aside = warehouse.count(f"{_FILES} and set_aside is not null")
    held = warehouse.count(_HELD)
    urgency = Mark.NOT_CHECKED if unchecked or aside else Mark.PARTLY if held else Mark.CHECKED
    later = warehouse.count("select sum(later_count) from marts.control_totals")
    files = (
        files_table(warehouse),
        *([set_aside_table()] if aside else []),
        *([later_table()] if later else []),
    )
    sections = [
        Section("What could not be checked", (unchecked_table(),)),
        Section("Files and records", (*files, held_by_file_table())),
    ]
    noticed = (notes_table(), corrections_table(), changes_table())
    sections.append(Section("Notes, corrections and changes", noticed))
    if audience is COMPLIANCE:
        sections.append(Section("State of every rule", (_states(),)))
    return Content(
        say(
            "{files} read, {held} of {read} held back, {unchecked} of {rules} not run"
            if unchecked
            else "{files} read, {held} of {read} held back, all {rules} ran",
            files=warehouse.fact(_FILES, lambda v: words.counted(v, "file")),
            held=warehouse.fact(_HELD, words.number),
            read=warehouse.fact(
                _READ,
                lambda v: words.counted(v, "record"),
            ),
            unchecked=warehouse.fact(_UNCHECKED, words.number),
            rules=warehouse.fact(
                "select count(*) from marts.rule_states", lambda v: words.counted(v, "check")
            ),
        ),
        "Every physical line of every file is a header, blank, part of a record or unreadable; "
        "every record is accepted, held back, repeated, replaced, vanished or "
        "unreadable.",
        urgency,
        tuple(sections),
        definitions=_DEFINITIONS,
    )


def _states() -> Listing:
    return rules_table(
        "true", "states", "Rules, those not checked first", State(Mark.NOT_CHECKED, "No rule ran.")
    )


_DEFINITIONS = (
    ("Repeated", "The same record with the same content stands twice in the drop; one counts."),
    ("Replaced", "A newer export holds the same key; the newest version counts."),
    ("Vanished", "A newer file of the source speaks for the record's time and no longer holds it."),
    ("Set aside", "A file whose heading, separator or encoding could not be proven is left out "
     "whole; what depends on it is not checked."),
    ("Not checked", "A file or a column that the rule needs did not arrive. Not the same as "
                    "passed."),
)  # fmt: skip
