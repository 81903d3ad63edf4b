"""Was every family charged what the price list in force said."""

from reports import words
from reports.audiences import ACCOUNTS, COMPLIANCE, OWNER, Audience
from reports.cautions import PRICES
from reports.charts.dots import Dot, dot_chart, key_of
from reports.charts.figure import OPENS, Chart, Head
from reports.content import Block, Content, Page, Section, links_to
from reports.listings.estimates import (
    DEARER,
    bill_items_table,
    bills_by_home_table,
    bills_table,
)
from reports.listings.findings import family_table
from reports.listings.prices import (
    above_table,
    by_home_table,
    completeness_table,
    lines_table,
    list_table,
    states_table,
)
from reports.marks import Mark
from reports.names import file_name
from reports.titles import Fact, Title, When, say
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="prices",
    name="Prices",
    question="Was every family charged what the price list in force said?",
    audiences=(COMPLIANCE, OWNER, ACCOUNTS),
    marts=("marts.charges_checked", "marts.bill_against_estimate",
           "marts.price_list_completeness", "marts.findings"),
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
    pages = _pages(warehouse)
    sheets = {path: _list_sheet(warehouse, home) for home, path in pages.items()}
    charged: list[Block] = [above_table(warehouse), states_table(warehouse)]
    if audience is not COMPLIANCE:
        charged.append(by_home_table(warehouse))
    if audience is ACCOUNTS:
        charged.append(lines_table())
    bills: list[Block] = [] if audience is OWNER else [bills_table(warehouse)]
    if audience is not COMPLIANCE:
        bills.append(bills_by_home_table(warehouse))
    if audience is ACCOUNTS:
        bills.append(bill_items_table())
    sections = [
        Section("Charges against the list", tuple(charged)),
        Section("Bills against estimates", tuple(bills)),
        Section(
            "The lists themselves",
            (completeness_table(pages), *_chart(warehouse, pages), links_to(sheets)),
        ),
    ]
    if audience is not OWNER:
        findings = family_table(warehouse, ("prices",), "Findings about prices")
        sections.insert(2, Section("What else to look at", (findings,)))
    return Content(
        _title(warehouse, above),
        "Invoice lines of all homes against the list in force on the date of the arrangement.",
        Mark.MAJOR if above or missing or warehouse.count(DEARER) else Mark.CHECKED,
        tuple(sections),
        definitions=_DEFINITIONS,
        cautions=PRICES,
        children=sheets,
    )


def _pages(warehouse: Warehouse) -> dict[str, str]:
    """Home -> the page of its list, for the homes with a list in force."""
    rows = warehouse.rows(
        "select distinct location_id from marts.price_list_completeness where is_in_force "
        "order by location_id"
    )
    return {
        str(home): f"prices/place-{file_name(str(home))}.html"
        for (home,) in rows
        if str(home) in warehouse.places
    }


def _list_sheet(warehouse: Warehouse, home: str) -> Content:
    """The list behind a home's symbols."""
    return Content(
        say(
            "{listed} of the sixteen items on the general price list of {home}",
            listed=warehouse.fact(
                "select count(*) from marts.price_list_completeness where is_in_force "
                f"and state = 'listed' and location_id = {literal(home)}",
                words.number,
            ),
            home=When(words.visible(warehouse.name_of(home))),
        ),
        "The list in force at the as-of time, with the record of each line.",
        Mark.INFO,
        (
            Section("The sixteen items", (completeness_table({}, home),)),
            Section("The list", (list_table(home),)),
        ),
        cautions=PRICES,
    )


def _title(warehouse: Warehouse, above: int) -> Title:
    lines = warehouse.fact(f"select count(*) {_LINES}", lambda v: words.counted(v, "invoice line"))
    if not above:
        found = say("None of {lines} is above the price list", lines=lines)
    else:
        found = say(
            "{above} of {lines} {verb} above the price list, by {amount} in all before credits",
            above=warehouse.fact(f"select count(*) {_ABOVE}", words.number),
            lines=lines,
            verb=words.are(above),
            amount=warehouse.fact(f"select sum(difference) {_ABOVE}", words.money),
        )
    return Title((*found.parts, *_dearer(warehouse)))


def _dearer(warehouse: Warehouse) -> tuple[str | Fact | When, ...]:
    """How many bills are above their estimate; nothing where none is."""
    count = warehouse.count(DEARER)
    if not count:
        return ()
    bills = warehouse.fact(DEARER, lambda v: words.counted(v, "bill"))
    above = words.verb(count, "is above its estimate", "are above their estimates")
    return say(f"; {{bills}} {above}", bills=bills).parts


def _chart(warehouse: Warehouse, pages: dict[str, str]) -> list[Chart]:
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
        Dot(str(item), float(str(price)), str(home), slots.get(str(home), len(slots)),
            href=pages.get(str(home), ""))
        for item, home, price, _, _ in rows
    ]  # fmt: skip
    homes = sorted({(dot.place, dot.slot) for dot in dots}, key=lambda home: home[1])
    head = Head(
        "list-prices",
        "List price of each item at each home, widest spread first",
        f"{words.CURRENCY}, general price lists in force; the lower end where a list gives a "
        "range.",
        "sixteen",
        f"{key_of(homes)} {OPENS}",
    )
    return [dot_chart(head, dots, words.CURRENCY)]


_DEFINITIONS = (
    ("List in force", "The home's list with the latest effective date on or before the date of the "
     "arrangement conference; not the date of the invoice or of the service."),
    ("Above list", "The unit price is above the list price, or above the upper end of its range. "
     "Difference: line total less quantity times that price."),
    ("Bill against estimate", "The estimates of a case before its first invoice at a home, each "
     "until a later one takes its place, and all invoices less credits there. "
     "Other price: at the quantity billed. Other quantity: at the price quoted. "
     "Advances, tax: what the home pays for the family, estimated in good faith, and tax."),
    ("The sixteen", "Items that a general price list must price if the home offers them: 16 CFR "
     "453.2(b)(4)(ii) and (iii)."),
    ("Not on a list", "No line of the list has this item. It can be a lawful special order."),
)  # fmt: skip
