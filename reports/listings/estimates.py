"""Tables of bills against the estimates that families were given."""

from reports import words
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse

USD = words.CURRENCY
_NONE = State(Mark.NOT_APPLICABLE, "No case has both an estimate and an invoice.")
#: What a difference is made of; together they are the difference.
_PARTS = """coalesce(sum(price_difference), 0) as other_price,
    coalesce(sum(difference - price_difference) filter (
        where reason in ('other price', 'other quantity')), 0) as other_quantity,
    coalesce(sum(difference) filter (where reason = 'added'), 0) as added,
    coalesce(sum(difference - price_difference) filter (where reason = 'not billed'), 0)
        as not_billed,
    coalesce(sum(difference) filter (where reason in ('cash advance', 'tax')), 0) as advances"""
_SUMS = {"estimated": 2, "billed": 2, "difference": 2, "other_price": 2, "other_quantity": 2,
         "added": 2, "not_billed": 2, "advances": 2}  # fmt: skip
_AMOUNTS = (
    Column("estimated", f"Estimate ({USD})", Kind.NUMBER, 2),
    Column("billed", f"Billed ({USD})", Kind.NUMBER, 2),
    Column("difference", f"Difference ({USD})", Kind.NUMBER, 2),
    Column("other_price", "Other price", Kind.NUMBER, 2),
    Column("other_quantity", "Other quantity", Kind.NUMBER, 2),
    Column("added", "Added", Kind.NUMBER, 2),
    Column("not_billed", "Not billed", Kind.NUMBER, 2),
    Column("advances", "Advances, tax", Kind.NUMBER, 2),
)
_BILLS = f"""select case_number, location_id, bool_and(is_closed) as is_closed,
    coalesce(sum(estimated_amount), 0) as estimated, sum(billed_amount) as billed,
    sum(difference) as difference, {_PARTS}
from marts.bill_against_estimate
group by case_number, location_id"""

#: How many bills are above their estimate.
DEARER = f"select count(*) from ({_BILLS}) where difference > 0"


def bills_table(warehouse: Warehouse) -> Listing:
    """Case by case, for those who may see cases."""
    sql = f"""select *, case when is_closed then 'closed' else 'open' end as case_status
from ({_BILLS})
where difference <> 0
order by difference desc, case_number, location_id"""
    bills = warehouse.count(f"select count(*) from ({_BILLS})")
    return Listing(
        "bills",
        "Bills that are not their estimate, dearest first",
        sql,
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("case_status", "Status", Kind.CODE),
            *_AMOUNTS,
        ),
        source=mart("bill_against_estimate"),
        none=State(
            Mark.CHECKED if bills else Mark.NOT_APPLICABLE,
            f"{words.counted(bills, 'bill')} checked. Each is its estimate."
            if bills
            else _NONE.sentence,
        ),
        note="What was quoted before the bill against all invoices less credits. Added: not on the "
        "estimate. What is added or changed knowingly is lawful; ask whether the family was told.",
        shown=15,
        totals=warehouse.totals(sql, _SUMS),
    )


def bills_by_home_table(warehouse: Warehouse) -> Listing:
    sql = f"""select location_id, count(*) as bill_count,
    count(*) filter (where difference > 0) as dearer_count, sum(estimated) as estimated,
    sum(billed) as billed, sum(difference) as difference, sum(other_price) as other_price,
    sum(other_quantity) as other_quantity, sum(added) as added, sum(not_billed) as not_billed,
    sum(advances) as advances
from ({_BILLS})
group by location_id
order by location_id"""
    return Listing(
        "bills-by-home",
        "Bills against their estimates, by home",
        sql,
        (
            Column("location_id", "Home", Kind.PLACE),
            Column("bill_count", "Bills", Kind.NUMBER),
            Column("dearer_count", "Above", Kind.NUMBER),
            *_AMOUNTS,
        ),
        source=mart("bill_against_estimate"),
        none=_NONE,
        totals=warehouse.totals(sql, {"bill_count": 0, "dearer_count": 0, **_SUMS}),
    )


def bill_items_table() -> Listing:
    """Every item that differs, for the accountant's own sums."""
    return Listing(
        "bill-items",
        "Items that are not as estimated, largest difference first",
        """select case_number, location_id, item_code, category, part, estimate_date,
    estimated_amount, billed_amount, difference, price_difference, reason
from marts.bill_against_estimate
where difference <> 0
order by abs(difference) desc, case_number, location_id, item_key""",
        (
            Column("case_number", "Case", Kind.CASE),
            Column("location_id", "Home", Kind.PLACE),
            Column("category", "Item", Kind.CODE),
            Column("item_code", "Code", Kind.ID, empty="[z]"),
            Column("reason", "Why"),
            Column("estimated_amount", f"Estimate ({USD})", Kind.NUMBER, 2, empty="[z]"),
            Column("billed_amount", f"Billed ({USD})", Kind.NUMBER, 2),
            Column("difference", f"Difference ({USD})", Kind.NUMBER, 2),
        ),
        source=mart("bill_against_estimate"),
        none=State(Mark.CHECKED, "No item differs from its estimate."),
        shown=30,
    )
