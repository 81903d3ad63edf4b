"""Tables of what the goods in stock cost, and of the journal behind it."""

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

USD = words.CURRENCY
_METHODS = (
    Column("first_in_amount", f"First in, first out ({USD})", Kind.NUMBER, 2),
    Column("average_amount", f"Average ({USD})", Kind.NUMBER, 2),
)
_SUMS = {"first_in_amount": 2, "average_amount": 2}


def on_hand_table(warehouse: Warehouse, shown: int) -> Listing:
    sql = """select item_code, location_id, item_kind, description, quantity, first_in_amount,
    average_amount, oldest_at, unlayered_quantity, uncosted_quantity, unconverted_count,
    movements_held_back
from marts.goods_on_hand
order by first_in_amount desc, location_id, item_code"""
    return Listing(
        "on-hand",
        "Goods in stock by the records, item by item and place by place",
        sql,
        (
            Column("item_code", "Item", Kind.ID),
            Column("location_id", "Place", Kind.PLACE),
            Column("description", "Description"),
            Column("quantity", "In stock", Kind.QUANTITY),
            *_METHODS,
            Column("oldest_at", "Oldest here since", Kind.INSTANT, zone_by="location_id",
                   empty="[z]"),
        ),
        source=mart("goods_on_hand"),
        none=State(Mark.NOT_APPLICABLE, "No movement of goods was accepted."),
        note="The last count and what moved since. The download also says what has no cost.",
        shown=shown,
        totals=warehouse.totals(sql, {"quantity": None, **_SUMS}),
    )  # fmt: skip


def given_table(warehouse: Warehouse) -> Listing:
    """What families' goods cost, month by month; what was returned is taken off."""
    sql = """select month_start, sum(sign * quantity) as quantity,
    sum(sign * first_in_amount) as first_in_amount, sum(sign * average_amount) as average_amount
from (select *, case flow_kind when 'issued' then 1 else -1 end as sign from marts.goods_journal)
where flow_kind in ('issued', 'returned')
group by month_start
order by month_start desc"""
    return Listing(
        "given",
        "Cost of goods given to families, by month",
        sql,
        (
            Column("month_start", "Month", Kind.MONTH),
            Column("quantity", "Pieces", Kind.QUANTITY),
            *_METHODS,
        ),
        source=mart("goods_journal"),
        none=State(Mark.NOT_APPLICABLE, "No goods were issued."),
        note="Issued less returned, all homes.",
        shown=24,
        totals=warehouse.totals(sql, {"quantity": None, **_SUMS}),
    )


def journal_table(warehouse: Warehouse, flow_kind: str | None = None) -> Listing:
    """All entries, or those of one kind of movement."""
    where = f"\nwhere flow_kind = {literal(flow_kind)}" if flow_kind else ""
    sql = f"""select month_start, location_id, item_kind, flow_kind, debit_account, credit_account,
    quantity, first_in_amount, average_amount, unlayered_quantity, flow_count
from marts.goods_journal{where}
order by month_start desc, location_id, item_kind, flow_kind"""
    return Listing(
        "journal",
        "Entries, newest month first",
        sql,
        (
            Column("month_start", "Month", Kind.MONTH),
            Column("location_id", "Place", Kind.PLACE),
            Column("item_kind", "Kind", Kind.CODE),
            Column("debit_account", "Debit"),
            Column("credit_account", "Credit"),
            Column("quantity", "Pieces", Kind.QUANTITY),
            *_METHODS,
        ),
        source=mart("goods_journal"),
        none=State(Mark.NOT_APPLICABLE, "No movement of goods was accepted."),
        note="Each row debits one account and credits the other with its amount.",
        shown=60,
        totals=warehouse.totals(sql, _SUMS) if flow_kind else (),
    )
