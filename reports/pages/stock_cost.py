"""What the goods in stock cost, and the entries that lead there."""

from decimal import Decimal

from reports import words
from reports.audiences import ACCOUNTS, Audience
from reports.charts.bridge import Step, bridge_chart
from reports.charts.figure import Head
from reports.content import Block, Content, Page, Section, links_to
from reports.listings.stock_cost import USD, given_table, journal_table, on_hand_table
from reports.listings.stock_parts import COUNTED
from reports.marks import Mark, State
from reports.titles import say
from reports.warehouse import Warehouse, literal

PAGE = Page(
    slug="stock_cost",
    name="Stock at cost",
    question="What do the goods in stock cost, and which entries lead there?",
    audiences=(ACCOUNTS,),
    marts=("marts.goods_on_hand", "marts.goods_journal", "marts.stock_roll_forward"),
    feeds=("supply_items", "supply_movements"),
    families=("merchandise",),
    order=12,
    has_spreadsheets=True,
)  # fmt: skip

#: What goods did, in the order of the bars, and whether it added to the stock.
_MOVES = {
    "received": ("was received from suppliers", True),
    "arrived": ("arrived from other places", True),
    "returned": ("came back from cases", True),
    "found": ("was found by counts", True),
    "issued": ("was issued to cases", False),
    "sent": ("was sent to other places", False),
    "written_off": ("was written off", False),
    "missing": ("was missing from counts", False),
}
_IN_STOCK = "select coalesce(sum(first_in_amount), 0) from marts.goods_on_hand"


def build(warehouse: Warehouse, audience: Audience) -> Content:
    chart, sheets = _bridge(warehouse)
    gaps = (*_counts(warehouse), *_gaps(warehouse))
    return Content(
        say(
            "Goods in stock cost {first_in} by first in, first out, and {average} at the weighted "
            "average",
            first_in=warehouse.fact(_IN_STOCK, words.money),
            average=warehouse.fact(
                "select coalesce(sum(average_amount), 0) from marts.goods_on_hand", words.money
            ),
        ),
        "Caskets, containers, urns and other goods for sale, by the records at the as-of time.",
        Mark.MINOR if gaps else Mark.CHECKED,
        (
            Section("In stock", (*gaps, on_hand_table(warehouse, 20), *chart)),
            Section("Given to families", (given_table(warehouse),)),
            Section("Journal", (journal_table(warehouse),)),
        ),
        definitions=_DEFINITIONS,
        children=sheets,
    )


def _counts(warehouse: Warehouse) -> tuple[State, ...]:
    """Balances of goods whose last count is not what the movements leave."""
    differing = warehouse.count(f"select count(*) {COUNTED} and s.difference <> 0")
    if not differing:
        return ()
    says = (
        f"{words.counted(differing, 'last count')} of goods "
        f"{words.verb(differing, 'differs', 'differ')} from what the movements leave: see "
        "Merchandise, Stock. The count is taken for true here."
    )
    return (State(Mark.MINOR, says),)


def _gaps(warehouse: Warehouse) -> tuple[State, ...]:
    """What the amounts leave out, where anything."""
    told = {
        "unlayered_quantity": "went out and never came in, by the records: it has no cost here",
        "uncosted_quantity": "came in with no cost known, and is counted at nothing",
    }
    row = warehouse.rows(f"select {', '.join(f'sum({c})' for c in told)} from marts.goods_on_hand")
    return tuple(
        State(Mark.PARTLY, f"{_pieces(Decimal(str(quantity)))} {says}.")
        for quantity, says in zip(row[0], told.values(), strict=True)
        if quantity
    )


def _pieces(quantity: Decimal) -> str:
    number = words.number(quantity, 0 if quantity == round(quantity) else 2)
    return f"{number} {'piece' if quantity == 1 else 'pieces'}"


def _bridge(warehouse: Warehouse) -> tuple[tuple[Block, ...], dict[str, Content]]:
    """The bars from the opening balances to what is in stock, and the entries behind each."""
    amounts = {
        str(kind): float(Decimal(str(amount)))
        for kind, amount in warehouse.rows(
            "select flow_kind, sum(first_in_amount) from marts.goods_journal group by flow_kind"
        )
    }
    if not amounts:
        return (), {}
    moved = [kind for kind in _MOVES if amounts.get(kind)]
    steps = [
        Step("opening", amounts.get("opening", 0.0), is_level=True, href=_address("opening")),
        *(
            Step(
                words.plain(kind), amounts[kind] if _MOVES[kind][1] else -amounts[kind],
                href=_address(kind),
            )
            for kind in moved
        ),
        Step("in stock", _sum(warehouse), is_level=True, href=_address("in_stock")),
    ]  # fmt: skip
    sheets = {
        _address("opening"): _sheet(warehouse, "opening", "was there at the opening balances"),
        **{_address(kind): _sheet(warehouse, kind, _MOVES[kind][0]) for kind in moved},
        _address("in_stock"): Content(
            say("{amount} of goods is in stock", amount=warehouse.fact(_IN_STOCK, words.money)),
            "By first in, first out; one bar of the picture.",
            Mark.INFO,
            (Section("What the bar adds up", (on_hand_table(warehouse, 120),)),),
            definitions=_DEFINITIONS,
        ),
    }
    head = Head(
        "cost-bridge",
        "From the opening balances to what is in stock, at cost",
        f"{USD}, by first in, first out; all places.",
        "journal",
        "Grey: what was there. Light: what moved. Each bar opens the entries behind it, as the "
        "links do.",
        table_has="The rows that the bars add up are",
    )
    return (bridge_chart(head, steps, USD), links_to(sheets)), sheets


def _sum(warehouse: Warehouse) -> float:
    return float(Decimal(str(warehouse.scalar(_IN_STOCK))))


def _address(part: str) -> str:
    return f"stock_cost/{part}.html"


def _sheet(warehouse: Warehouse, kind: str, did: str) -> Content:
    amount = (
        "select coalesce(sum(first_in_amount), 0) from marts.goods_journal "
        f"where flow_kind = {literal(kind)}"
    )
    return Content(
        say("{amount} of goods {did}", amount=warehouse.fact(amount, words.money), did=did),
        "By first in, first out; one bar of the picture.",
        Mark.INFO,
        (Section("What the bar adds up", (journal_table(warehouse, kind),)),),
        definitions=_DEFINITIONS,
    )


_DEFINITIONS = (
    ("First in, first out", "What came in first goes out first, at its own cost; the last piece of "
                            "a layer takes what is left of its amount, so that no cent is lost."),
    ("Average", "The weighted average of a month: what was there at its beginning and what came in "
                "during it cost one average, at which everything leaves in that month."),
    ("Cost", "That on the movement which brought it in, else the last known at the place, else "
             "the list cost. What came back or was found costs the last known."),
    ("Found, missing", "What a count differs by from the records before it. An opening balance "
                       "after the first is read as a count."),
    ("Goods between places", "Sent, at the cost of the place that sent; arrived, at the cost where "
                             "it arrived. What is left on this account is on its way, or differs."),
    ("Which method", "Both are accepted for goods that are alike (ASC 330, IAS 2). Which one the "
                     "books use, and goods that are costed piece by piece, is for the accountant."),
)  # fmt: skip
