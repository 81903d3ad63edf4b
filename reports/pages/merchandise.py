"""Does stock move as billed, and does every total tie."""

from decimal import Decimal

from reports import words
from reports.audiences import ACCOUNTS, Audience
from reports.charts.bridge import Step, bridge_chart
from reports.charts.figure import Head
from reports.content import Block, Content, Page, Section, links_to
from reports.listings.findings import family_table
from reports.listings.goods import OF_GOODS
from reports.listings.merchandise import (
    LISTS,
    control_table,
    months_table,
    state_table,
    stock_table,
)
from reports.listings.stock_parts import COUNTED, PARTS, part_tables
from reports.marks import Mark
from reports.titles import Fact, Title, say
from reports.warehouse import Warehouse

PAGE = Page(
    slug="merchandise",
    name="Merchandise",
    question="Does stock move as billed, and does every total tie to the cent?",
    audiences=(ACCOUNTS,),
    marts=("marts.merchandise_matched", "marts.merchandise_by_month", "marts.stock_roll_forward",
           "marts.control_totals"),
    feeds=("cases", "supply_items", "supply_movements", "statement_lines", "supplier_bill_lines"),
    families=("merchandise",),
    order=10,
    has_spreadsheets=True,
)  # fmt: skip

#: Two items that were swapped are one difference, told by the one that comes first.
_DUE = """from marts.merchandise_matched as m
where is_due and not exists (
    select 1 from marts.merchandise_matched as o
    where m.match_state = 'swapped' and o.is_due and o.case_number = m.case_number
        and o.item_code = m.swapped_item_code and o.item_code < m.item_code
)"""
_WRONG = f"select count(*) {_DUE} and match_state <> 'agrees'"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    wrong = warehouse.count(_WRONG)
    matched = tuple(state_table(warehouse, state) for state in LISTS)
    chart, sheets = _stock(warehouse)
    findings = family_table(
        warehouse, ("merchandise",), "Findings about goods, their counts and supplier bills",
        OF_GOODS,
    )  # fmt: skip
    open_findings = warehouse.count(
        f"select count(*) from marts.findings where {OF_GOODS} and answer_state <> 'answered'"
    )
    return Content(
        _title(warehouse, wrong),
        "Goods per case and item: billed on invoices, issued from stock, bought from suppliers. "
        "Cases not closed are judged 30 days after the first bill or issue.",
        Mark.MAJOR if wrong else Mark.MINOR if open_findings else Mark.CHECKED,
        (
            Section("What does not agree", matched),
            Section("Supplier bills and other findings", (findings,)),
            Section("Stock", (*chart, stock_table())),
            Section("By month", (months_table(warehouse),)),
            Section("Ties to the files", (control_table(warehouse),)),
        ),
        definitions=_DEFINITIONS,
        children=sheets,
    )


def _title(warehouse: Warehouse, wrong: int) -> Title:
    pairs = warehouse.fact(
        f"select count(*) {_DUE}", lambda v: words.counted(v, "match", "matches")
    )
    if not wrong:
        return say("None of {pairs} of goods billed and issued disagrees", pairs=pairs)
    parts = say(
        ": {bni} billed and not issued, {inb} issued and not billed, {swaps} swapped, {differs} in "
        "another quantity",
        bni=_of(warehouse, "billed not issued"),
        inb=_of(warehouse, "issued not billed"),
        swaps=_of(warehouse, "swapped"),
        differs=_of(warehouse, "quantity differs"),
    )
    whole = say(
        "{wrong} of {pairs} of goods {verb} not agree",
        wrong=warehouse.fact(_WRONG, words.number),
        pairs=pairs,
        verb=words.verb(wrong, "does", "do"),
    )
    return Title((*whole.parts, *parts.parts))


def _of(warehouse: Warehouse, state: str) -> Fact:
    return warehouse.fact(f"select count(*) {_DUE} and match_state = '{state}'", words.number)


def _stock(warehouse: Warehouse) -> tuple[tuple[Block, ...], dict[str, Content]]:
    """The bars from opening stock to the count, and a page for each of what it adds up."""
    sums = ", ".join(f"sum({part})" for part in PARTS)
    row = warehouse.rows(f"select {sums}, count(*) {COUNTED}")[0]
    if not row[-1]:
        return (), {}
    amounts = {part: float(Decimal(str(v))) for part, v in zip(PARTS, row, strict=False)}
    sheets = {_page(part): _part_sheet(warehouse, part) for part in PARTS}
    steps = [
        Step("opening", amounts["opening"], is_level=True, href=_page("opening")),
        *(Step(p, amounts[p], href=_page(p)) for p in ("received", "arrived", "returned")),
        *(
            Step(words.plain(p), -amounts[p], href=_page(p))
            for p in ("issued", "sent", "written_off")
        ),
        Step("expected", amounts["expected"], is_level=True, is_expected=True,
             href=_page("expected")),
        Step("counted", amounts["counted"], is_level=True, href=_page("counted")),
        Step("not explained", amounts["difference"], is_unexplained=True,
             href=_page("difference")),
    ]  # fmt: skip
    head = Head(
        "bridge",
        "From opening stock to the count",
        f"Pieces of caskets, containers and urns: {words.counted(int(str(row[-1])), 'balance')} "
        "of an item at a place, each with a count.",
        "stock",
        "Grey: what was there. Light: what moved. Outlined: what the records expect. The last bar "
        "is the difference that nothing explains. Each bar opens the list behind it, as "
        "the links do.",
        table_has="The rows that the bars add up are",
    )
    return (bridge_chart(head, steps, "pieces"), links_to(sheets)), sheets


def _page(part: str) -> str:
    return f"merchandise/{part}.html"


def _part_sheet(warehouse: Warehouse, part: str) -> Content:
    return Content(
        say(
            "{pieces} {did}",
            pieces=warehouse.fact(f"select sum(s.{part}) {COUNTED}", _pieces),
            did=PARTS[part],
        ),
        "Caskets, containers and urns in single pieces, of balances with a count; one bar of the "
        "picture.",
        Mark.INFO,
        (Section("What the bar adds up", part_tables(warehouse, part)),),
        definitions=_DEFINITIONS,
    )


def _pieces(value: float) -> str:
    number = words.number(value, 0 if value == round(value) else 2)
    return f"{number} {'piece' if abs(value) == 1 else 'pieces'}"


_DEFINITIONS = (
    ("Billed, issued, bought", "Billed: invoices less credits. Issued: stock movements of kind "
                               "issued less returned, at the cost on the movement, else "
                               "the last cost known at the place, else list cost. Bought: "
                               "supplier bill lines that name the case; what never entered "
                               "the stock stands for an issue that is missing."),
    ("Swapped", "In one case another item of the same kind was issued than was billed: one "
                "difference, with a row for each of the two items in its list."),
    ("Margin", "Billed amount less issued cost, in the month of the movement or invoice."),
    ("Totals", "A total row is of all rows, printed or not, and stays out of the files' rows. In "
     "XLSX it stands on the first sheet."),
)  # fmt: skip
