"""Which records are not trusted, why, and how to mend them."""

from reports import words
from reports.audiences import COMPLIANCE, OPERATIONS, Audience
from reports.charts.bars import Bar, bar_chart
from reports.charts.figure import Head
from reports.content import Block, Content, Page, Section
from reports.listings.quality import GIVEN, rejects_table, rules_held_table, send_back_tables
from reports.marks import Mark
from reports.titles import Title, say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="held_back",
    name="Held back",
    question="Which records are not trusted, why, and who mends them?",
    audiences=(OPERATIONS, COMPLIANCE),
    marts=("marts.held_back", "marts.held_back_records", "quality.rejects",
           "quality.file_accounts"),
    feeds=("locations", "cases", "custody_events", "supply_items", "supply_movements",
           "air_samples", "price_lists", "statement_lines", "supplier_bill_lines"),
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
    urgency = Mark.CRITICAL if critical else Mark.PARTLY if held else Mark.CHECKED
    return Content(
        _title(warehouse, held, critical),
        "All files of this run. A held-back record stays in the count of people, with its reason, "
        "and out of sums of money, chemicals and hours.",
        urgency,
        (
            Section("To send back, a list for each place", send_back_tables(warehouse)),
            Section("By rule, and who mends it", _by_rule(warehouse)),
            Section("Each record", (rejects_table(),)),
        ),
        definitions=_DEFINITIONS,
    )


def _title(warehouse: Warehouse, held: int, critical: int) -> Title:
    read = warehouse.fact(_READ, lambda v: words.counted(v, "record"))
    if not held:
        return say("None of {read} is held back", read=read)
    shown = warehouse.fact(_HELD, words.number)
    if not critical:
        return say("{held} of {read} are held back, none by a critical rule", held=shown, read=read)
    return say(
        "{held} of {read} are held back; critical rules name {critical}",
        held=shown,
        read=read,
        critical=warehouse.fact(_CRITICAL, words.number),
    )


def _by_rule(warehouse: Warehouse) -> tuple[Block, ...]:
    rows = warehouse.rows(
        "select rule_code, max(severity) as severity, sum(record_count) as record_count "
        "from marts.held_back group by rule_code order by record_count desc, rule_code"
    )
    table = rules_held_table()
    if not rows:
        return (table,)
    bars = [
        Bar(f"{words.plain(str(code))} ({severity})", float(str(count)), severity == "critical")
        for code, severity, count in rows
    ]
    head = Head(
        "by-rule-bars",
        "Held-back records by rule",
        "Count of records in all files of this run; the word in brackets is the severity.",
        "by-rule",
    )
    return (table, bar_chart(head, bars, "records"))


_DEFINITIONS = (
    ("Held back", "The record has its fields and breaks a rule of trust. It is kept, typed, in the "
     "schema held, and comes back when a mended export arrives."),
    ("Unreadable", "The record could not be split into the fields of the header."),
    ("Chain held", "Another record of the same case breaks its custody chain; the chain is judged "
     "as a whole, so all its records wait."),
)  # fmt: skip
