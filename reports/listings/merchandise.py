"""Tables that reconcile goods: billed, issued, bought, stock, control totals."""

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

USD = words.CURRENCY
#: What stands behind each list that an accountant works through.
LISTS = {
    "billed not issued": "Billed and not issued",
    "issued not billed": "Issued and not billed",
    "swapped": "Another item issued than billed",
    "quantity differs": "Quantities differ",
}


def state_table(warehouse: Warehouse, state: str) -> Listing:
    sql = f"""select case_number, location_id, item_code, item_kind, description, billed_quantity,
    billed_amount, issued_quantity, issued_cost, bought_quantity, bought_cost, swapped_item_code,
    match_state
from marts.merchandise_matched
where is_due and match_state = {literal(state)}
order by greatest(billed_amount, issued_cost) desc, case_number, item_code"""
    due = warehouse.count("select count(*) from marts.merchandise_matched where is_due")
    swapped = (
        (Column("swapped_item_code", "The other item", Kind.ID),) if state == "swapped" else ()
    )
    return Listing(
        state.replace(" ", "-"),
        LISTS[state],
        sql,
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("item_code", "Item", Kind.ID),
            Column("description", "Description"),
            *swapped,
            Column("billed_quantity", "Billed", Kind.QUANTITY),
            Column("billed_amount", f"Billed ({USD})", Kind.NUMBER, 2),
            Column("issued_quantity", "Issued", Kind.QUANTITY),
            Column("issued_cost", f"Cost ({USD})", Kind.NUMBER, 2),
        ),
        source=mart("merchandise_matched"),
        none=State(Mark.CHECKED, f"{words.counted(due, 'case and item', 'cases and items')} "
                                 f"checked. "
                   "None is of this kind."),
        note="Two rows for one swap: the item that was billed and the one that was issued."
        if state == "swapped" else "",
        totals=warehouse.totals(
            sql, {"billed_quantity": None, "billed_amount": 2, "issued_quantity": None,
                  "issued_cost": 2}
        ),
    )  # fmt: skip


def months_table(warehouse: Warehouse) -> Listing:
    sql = """select month_start, location_id, item_kind, billed_quantity, billed_amount,
    issued_quantity, issued_cost, margin
from marts.merchandise_by_month
order by month_start desc, location_id, item_kind"""
    return Listing(
        "by-month",
        "Goods by month, home and kind",
        sql,
        (
            Column("month_start", "Month", Kind.MONTH),
            Column("location_id", "Home", Kind.PLACE),
            Column("item_kind", "Kind", Kind.CODE),
            Column("billed_quantity", "Billed", Kind.QUANTITY),
            Column("billed_amount", f"Billed ({USD})", Kind.NUMBER, 2),
            Column("issued_quantity", "Issued", Kind.QUANTITY),
            Column("issued_cost", f"Cost ({USD})", Kind.NUMBER, 2),
            Column("margin", f"Margin ({USD})", Kind.NUMBER, 2),
        ),
        source=mart("merchandise_by_month"),
        none=State(Mark.NOT_APPLICABLE, "No goods were billed or issued."),
        note="By the home of the case; what does not agree, above, is by the home that billed. "
        "Goods are often issued in one month and billed in the next, and goods within the "
        "price of a service have a cost and no amount: the margin of one row says little, that of "
        "a year more.",
        shown=90,
        totals=warehouse.totals(
            sql, {"billed_quantity": None, "billed_amount": 2, "issued_quantity": None,
                  "issued_cost": 2, "margin": 2}
        ),
    )  # fmt: skip


def stock_table() -> Listing:
    return Listing(
        "stock",
        "Stock of each item at each place, from its last opening balance to its last count",
        """select item_code, location_id, description, unit, opening,
    received + arrived + returned as came_in, issued + sent + written_off as went_out,
    received, arrived, returned, issued, sent, written_off, expected, counted, difference,
    opened_at, counted_at, unconverted_count,
    movements_held_back
from marts.stock_roll_forward
order by case when difference <> 0 then 0 when counted is null then 1 else 2 end,
    abs(difference) desc nulls last, location_id, item_code""",
        (
            Column("item_code", "Item", Kind.ID),
            Column("location_id", "Place", Kind.PLACE),
            Column("unit", "Unit", Kind.CODE),
            Column("opening", "Opening", Kind.QUANTITY),
            Column("came_in", "In", Kind.QUANTITY),
            Column("went_out", "Out", Kind.QUANTITY),
            Column("expected", "Expected", Kind.QUANTITY),
            Column("counted", "Counted", Kind.QUANTITY, empty="not counted"),
            Column("difference", "Difference", Kind.QUANTITY, empty="[z]"),
        ),
        source=mart("stock_roll_forward"),
        none=State(Mark.NOT_APPLICABLE, "No stock movement was accepted."),
        note="In: received, arrived, returned. Out: issued, sent, written off. Expected = opening "
        "+ in - out. The download has each part. Differences stand first.",
        shown=120,
    )


def control_table(warehouse: Warehouse) -> Listing:
    sql = """select feed, file_name, records_read, accepted_count, held_count,
    records_read - accepted_count - held_count as other_count, amount_accepted, amount_held,
    later_count, amount_later
from marts.control_totals
where not is_shipped
order by feed, file_name"""
    return Listing(
        "control",
        "Control totals by file, to lay beside the ledger",
        sql,
        (
            Column("feed", "Kind", Kind.CODE),
            Column("file_name", "File"),
            Column("records_read", "Records read", Kind.NUMBER),
            Column("accepted_count", "Accepted", Kind.NUMBER),
            Column("held_count", "Held back", Kind.NUMBER),
            Column("other_count", "Otherwise", Kind.NUMBER),
            Column("amount_accepted", f"Accepted ({USD})", Kind.NUMBER, 2, empty="[z]"),
            Column("amount_held", f"Held back ({USD})", Kind.NUMBER, 2, empty="[z]"),
            Column("later_count", "Dated later", Kind.NUMBER),
            Column("amount_later", f"Dated later ({USD})", Kind.NUMBER, 2, empty="[z]"),
        ),
        source=mart("control_totals"),
        none=State(Mark.NOT_CHECKED, "No file was read."),
        totals=warehouse.totals(
            sql, {"records_read": 0, "accepted_count": 0, "held_count": 0, "other_count": 0,
                  "amount_accepted": 2, "amount_held": 2, "later_count": 0, "amount_later": 2}
        ),
        note="Read = accepted + held back + otherwise (unreadable, repeated, replaced by a newer "
        "export or vanished from it; the data quality page has each). Dated later: accepted, but "
        "of a day after this run's, and in no other figure. A line of totals in a file is held "
        "back and is no amount. Amounts of different kinds of file are added in the last row only "
        "to be re-added; estimates and invoices are both statement lines. Tables that came with "
        "the program are no files of the group and are not listed.",
    )  # fmt: skip
