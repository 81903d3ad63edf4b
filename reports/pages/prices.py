"""Was every family charged what the price list in force said."""

from reports import words
from reports.audiences import ACCOUNTS, COMPLIANCE, OWNER, Audience
from reports.cautions import PRICES
from reports.charts.dots import Dot, dot_chart, key_of
from reports.charts.figure import Chart, Head
from reports.content import Block, Content, Page, Section
from reports.listings.findings import family_table
from reports.listings.prices import (
    above_table,
    by_home_table,
    completeness_table,
    lines_table,
    states_table,
)
from reports.marks import Mark
from reports.titles import Title, say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="prices",
    name="Prices",
    question="Was every family charged what the price list in force said?",
    audiences=(COMPLIANCE, OWNER, ACCOUNTS),
    marts=("marts.charges_checked", "marts.price_list_completeness", "marts.findings"),
    feeds=("cases", "price_lists", "statement_lines"),
    families=("prices",),
    order=45,
    has_spreadsheets=True,
)

_LINES = "from marts.charges_checked where document_kind = 'invoice'"
_ABOVE = f"{_LINES} and check_state = 'above list'"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    above = warehouse.count(f"select count(*) {_ABOVE}")
    missing = warehouse.count(
        "select count(*) from marts.price_list_completeness "
        "where is_in_force and state = 'not listed' and is_sold"
    )
    charged: list[Block] = [above_table(warehouse), states_table(warehouse)]
    if audience is not COMPLIANCE:
        charged.append(by_home_table(warehouse))
    if audience is ACCOUNTS:
        charged.append(lines_table())
    sections = [
        Section("Charges against the list", tuple(charged)),
        Section("The lists themselves", (completeness_table(), *_chart(warehouse))),
    ]
    if audience is not OWNER:
        findings = family_table(warehouse, ("prices",), "Findings about prices")
        sections.insert(1, Section("What else to look at", (findings,)))
    return Content(
        _title(warehouse, above),
        "Invoice lines of all homes against the list in force on the date of the arrangement.",
        Mark.MAJOR if above or missing else Mark.CHECKED,
        tuple(sections),
        definitions=_DEFINITIONS,
        cautions=PRICES,
    )


def _title(warehouse: Warehouse, above: int) -> Title:
    lines = warehouse.fact(f"select count(*) {_LINES}", lambda v: words.counted(v, "invoice line"))
    if not above:
        return say("None of {lines} is above the price list", lines=lines)
    return say(
        "{above} of {lines} {verb} above the price list, by {amount} in all",
        above=warehouse.fact(f"select count(*) {_ABOVE}", words.number),
        lines=lines,
        verb=words.are(above),
        amount=warehouse.fact(f"select sum(difference) {_ABOVE}", words.money),
    )


def _chart(warehouse: Warehouse) -> list[Chart]:
    rows = warehouse.rows(
        "select item_name, location_id, price, max(price) over (partition by item_number) - "
        "min(price) over (partition by item_number) as spread, item_number "
        "from marts.price_list_completeness where is_in_force and price is not null "
        "order by spread desc, item_number, location_id"
    )
    if not rows:
        return []
    slots = {place.location_id: place.slot for place in warehouse.places.values()}
    dots = [
        Dot(str(item), float(str(price)), str(home), slots.get(str(home), len(slots)))
        for item, home, price, _, _ in rows
    ]
    homes = sorted({(dot.place, dot.slot) for dot in dots}, key=lambda home: home[1])
    head = Head(
        "list-prices",
        "List price of each item at each home, widest spread first",
        f"{words.CURRENCY}, general price lists in force; the lower end where a list gives a "
        "range.",
        "sixteen",
        key_of(homes),
    )
    return [dot_chart(head, dots, words.CURRENCY)]


_DEFINITIONS = (
    ("List in force", "The home's list with the latest effective date on or before the date of the "
     "arrangement conference; not the date of the invoice or of the service."),
    ("Above list", "The unit price is above the list price, or above the upper end of its range. "
     "Difference: line total less quantity times that price."),
    ("The sixteen", "Items that a general price list must price if the home offers them: 16 CFR "
     "453.2(b)(4)(ii) and (iii)."),
    ("Not on a list", "No line of the list has this item. It can be a lawful special order."),
)  # fmt: skip
