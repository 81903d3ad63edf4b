"""Does stock move as billed, and does every total tie."""

from decimal import Decimal

from reports import words
from reports.audiences import ACCOUNTS, Audience
from reports.charts.bridge import Step, bridge_chart
from reports.charts.figure import Chart, Head
from reports.content import Content, Page, Section
from reports.listings.findings import family_table
from reports.listings.merchandise import (
    LISTS,
    control_table,
    months_table,
    state_table,
    stock_table,
)
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

_GOODS = "('casket', 'urn', 'outer_container', 'alternative_container')"
_DUE = "from marts.merchandise_matched where is_due"
_PARTS = ("opening", "received", "arrived", "returned", "issued", "sent", "written_off", "expected",
          "counted", "difference")  # fmt: skip


def build(warehouse: Warehouse, audience: Audience) -> Content:
    wrong = warehouse.count(f"select count(*) {_DUE} and match_state <> 'agrees'")
    matched = tuple(state_table(warehouse, state) for state in LISTS)
    findings = family_table(warehouse, ("merchandise",), "Findings about goods and supplier bills")
    return Content(
        _title(warehouse, wrong),
        "Goods per case and item: billed on invoices, issued from stock, bought from suppliers. "
        "Cases not closed are judged 30 days after the first bill or issue.",
        Mark.MAJOR if wrong else Mark.CHECKED,
        (
            Section("What does not agree", matched),
            Section("Supplier bills and other findings", (findings,)),
            Section("Stock", (*_chart(warehouse), stock_table())),
            Section("By month", (months_table(warehouse),)),
            Section("Ties to the files", (control_table(warehouse),)),
        ),
        definitions=_DEFINITIONS,
    )


def _title(warehouse: Warehouse, wrong: int) -> Title:
    pairs = warehouse.fact(f"select count(*) {_DUE}", words.number)
    if not wrong:
        return say("All {pairs} matches of goods billed and issued agree", pairs=pairs)
    return say(
        "{wrong} of {pairs} matches of goods do not agree: {bni} billed and not issued, {inb} "
        "issued and not billed",
        wrong=warehouse.fact(f"select count(*) {_DUE} and match_state <> 'agrees'", words.number),
        pairs=pairs,
        bni=_of(warehouse, "billed not issued"),
        inb=_of(warehouse, "issued not billed"),
    )


def _of(warehouse: Warehouse, state: str) -> Fact:
    return warehouse.fact(f"select count(*) {_DUE} and match_state = '{state}'", words.number)


def _chart(warehouse: Warehouse) -> tuple[Chart, ...]:
    """Goods in single pieces: only those can be added up and compared with a count."""
    sums = ", ".join(f"sum({part})" for part in _PARTS)
    row = warehouse.rows(
        f"select {sums}, count(*) from marts.stock_roll_forward as s "
        "where s.unit = 'each' and s.counted is not null and exists (select 1 from "
        f"accepted.supply_items as i where i.item_code = s.item_code and i.item_kind in {_GOODS})"
    )[0]
    if not row[-1]:
        return ()
    amounts = {part: float(Decimal(str(v))) for part, v in zip(_PARTS, row, strict=False)}
    steps = [
        Step("opening", amounts["opening"], is_level=True),
        *(Step(name, amounts[name]) for name in ("received", "arrived", "returned")),
        *(Step(words.plain(name), -amounts[name]) for name in ("issued", "sent", "written_off")),
        Step("expected", amounts["expected"], is_level=True, is_expected=True),
        Step("counted", amounts["counted"], is_level=True),
        Step("not explained", amounts["difference"], is_unexplained=True),
    ]
    head = Head(
        "bridge",
        "From opening stock to the count",
        f"Pieces of caskets, containers and urns: {words.counted(int(str(row[-1])), 'balance')} "
        "of an item at a place, each with a count.",
        "stock",
        "Grey: what was there. Light: what moved. Outlined: what the records expect. The last bar "
        "is the difference that nothing explains.",
    )
    return (bridge_chart(head, steps, "pieces"),)


_DEFINITIONS = (
    ("Billed, issued, bought", "Billed: invoices less credits. Issued: stock movements of kind "
                               "issued less returned, at the cost on the movement. Bought: "
                               "supplier bill lines that name the case."),
    ("Swapped", "In one case another item of the same kind was issued than was billed."),
    ("Margin", "Billed amount less issued cost, in the month of the movement or invoice."),
    ("Totals", "A total row is of all rows, printed or not, and stays out of the files' rows. In "
     "XLSX it stands on the first sheet."),
)  # fmt: skip
