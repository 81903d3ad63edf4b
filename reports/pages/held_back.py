"""Which records are not trusted, why, and how to mend them."""

from pipelines.feeds import GROUP_FEEDS
from reports import words
from reports.audiences import COMPLIANCE, OPERATIONS, Audience
from reports.charts.bars import MOST_BARS, Bar, bar_chart
from reports.charts.figure import OPENS, Head
from reports.content import Block, Content, Page, Section
from reports.listings.held_back import (
    rejects_table,
    rules_held_table,
    send_back_tables,
    to_mend_table,
)
from reports.listings.quality import GIVEN
from reports.marks import Mark
from reports.titles import Title, When, say
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="held_back",
    name="Held back",
    question="Which records are not trusted, why, and who mends them?",
    audiences=(OPERATIONS, COMPLIANCE),
    marts=("marts.held_back", "marts.held_back_records", "marts.held_back_to_mend",
           "quality.rejects", "quality.file_accounts"),
    feeds=tuple(GROUP_FEEDS),
    families=("reading", "records", "chains"),
    order=30,
)  # fmt: skip

_HELD = (
    "select coalesce(sum(held_back + unreadable), 0)::bigint from quality.file_accounts "
    f"where {GIVEN}"
)
_READ = f"select coalesce(sum(records_read), 0)::bigint from quality.file_accounts where {GIVEN}"
_CRITICAL = (
    "select coalesce(sum(record_count), 0)::bigint from marts.held_back where severity = 'critical'"
)


def build(warehouse: Warehouse, audience: Audience) -> Content:
    critical, held = warehouse.count(_CRITICAL), warehouse.count(_HELD)
    rules = _rules(warehouse)
    urgency = Mark.CRITICAL if critical else Mark.PARTLY if held else Mark.CHECKED
    return Content(
        _title(warehouse, held, critical),
        "All files of this run. A held-back record stays in the count of people, with its reason, "
        "and out of sums of money, chemicals and hours.",
        urgency,
        (
            Section("To send back, a list for each place", send_back_tables(warehouse)),
            Section("By rule, and who mends it", _by_rule(rules)),
            Section("Everything to mend", (to_mend_table(),)),
        ),
        definitions=_DEFINITIONS,
        children=_rule_sheets(warehouse, rules),
    )


def _title(warehouse: Warehouse, held: int, critical: int) -> Title:
    read = warehouse.fact(_READ, lambda v: words.counted(v, "record"))
    if not held:
        return say("None of {read} is held back", read=read)
    shown = warehouse.fact(_HELD, words.number)
    if not critical:
        return say(
            "{held} of {read} {verb} held back, none by a critical rule",
            held=shown,
            read=read,
            verb=words.are(held),
        )
    return say(
        "{held} of {read} {verb} held back; critical rules name {critical}",
        verb=words.are(held),
        held=shown,
        read=read,
        critical=warehouse.fact(_CRITICAL, words.number),
    )


def _rules(warehouse: Warehouse) -> list[tuple[str, str, int]]:
    """(rule, severity, records that it names) of every rule that holds any back, most first."""
    rows = warehouse.rows(
        "select rule_code, max(severity) as severity, sum(record_count) as record_count "
        "from marts.held_back group by rule_code order by record_count desc, rule_code"
    )
    return [(str(code), str(severity), int(str(count))) for code, severity, count in rows]


def _rule_pages(rules: list[tuple[str, str, int]]) -> dict[str, str]:
    """Rule -> page of the records that it names, for the rules that have a bar."""
    return {code: f"held_back/rule-{code}.html" for code, _, _ in rules[:MOST_BARS]}


def _rule_sheets(
    warehouse: Warehouse, rules: list[tuple[str, str, int]]
) -> dict[str, Content]:
    """One page a bar with the records that it counts."""
    return {
        path: Content(
            say(
                "{count} held back by the rule: {rule}",
                count=warehouse.fact(
                    "select coalesce(sum(record_count), 0)::bigint from marts.held_back "
                    f"where rule_code = {literal(code)}",
                    lambda v: words.counted(v, "record"),
                ),
                rule=When(words.plain(code)),
            ),
            "All files of this run. A record in which the rule finds two faults has two rows.",
            Mark.INFO,
            (Section("Each record", (rejects_table(code),)),),
        )
        for code, path in _rule_pages(rules).items()
    }


def _by_rule(rules: list[tuple[str, str, int]]) -> tuple[Block, ...]:
    pages = _rule_pages(rules)
    table = rules_held_table(pages)
    if not rules:
        return (table,)
    bars = [
        Bar(f"{words.plain(code)} ({severity})", count, severity == "critical",
            pages.get(code, ""))
        for code, severity, count in rules
    ]  # fmt: skip
    head = Head(
        "by-rule-bars",
        "Held-back records by rule",
        "Count of records in all files of this run; the word in brackets is the severity.",
        "by-rule",
        OPENS,
    )
    return (table, bar_chart(head, bars, "records"))


_DEFINITIONS = (
    ("Held back", "The record has its fields and breaks a rule of trust. It is kept, typed, in the "
     "schema held, and comes back when a mended export arrives."),
    ("Unreadable", "The record could not be split into the fields of the header."),
    ("Chain held", "Another record of the same case breaks its custody chain; the chain is judged "
     "as a whole, so all its records wait."),
)  # fmt: skip
