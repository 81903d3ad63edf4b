"""What stands behind each bar from opening stock to the count: balances, and their movements."""

from dataclasses import replace

from reports import words
from reports.listings.goods import GOODS_KINDS
from reports.marks import Mark, State
from reports.tables import Column, Kind, Listing, mart
from reports.warehouse import Warehouse, literal

#: Balances of goods in single pieces with a count: only those can be added up and compared.
COUNTED = f"""from marts.stock_roll_forward as s
where s.unit = 'each' and s.counted is not null and exists (
    select 1 from accepted.supply_items as i where i.item_code = s.item_code
        and i.item_kind in {GOODS_KINDS})"""
#: Each bar, and what its pieces did.
PARTS = {
    "opening": "on hand at the opening balances",
    "received": "received from suppliers",
    "arrived": "arrived from another place",
    "returned": "returned from cases",
    "issued": "issued to cases",
    "sent": "sent to another place",
    "written_off": "written off",
    "expected": "expected by the records",
    "counted": "counted",
    "difference": "that nothing explains",
}
#: Parts that are sums of the others: no movement is of their kind.
_COMPUTED = ("expected", "difference")


def part_listings(part: str) -> tuple[Listing, ...]:
    """The balances that a bar adds up, and the movements in them."""
    balances = _balances(part)
    return (balances,) if part in _COMPUTED else (balances, _movements(part))


def part_tables(warehouse: Warehouse, part: str) -> tuple[Listing, ...]:
    """The same with the sum of the balances, which is the bar."""
    balances, *movements = part_listings(part)
    totals = warehouse.totals(balances.sql, {part: None})
    return (replace(balances, totals=totals), *movements)


def _balances(part: str) -> Listing:
    return Listing(
        "balances",
        "Item by item and place by place",
        f"""select s.item_code, s.location_id, s.description, s.{part}, s.opened_at,
    s.counted_at
{COUNTED} and s.{part} <> 0
order by abs(s.{part}) desc, s.location_id, s.item_code""",
        (
            Column("item_code", "Item", Kind.ID),
            Column("location_id", "Place", Kind.PLACE),
            Column("description", "Description"),
            Column(part, words.plain(part).capitalize(), Kind.QUANTITY),
            Column("opened_at", "Opened at", Kind.INSTANT, zone_by="location_id"),
            Column("counted_at", "Counted at", Kind.INSTANT, zone_by="location_id"),
        ),
        source=mart("stock_roll_forward"),
        none=State(Mark.CHECKED, "No item at any place has a piece of this."),
        shown=120,
    )


def _movements(part: str) -> Listing:
    return Listing(
        "movements",
        "The movements in these balances, newest first",
        f"""select m.movement_id, m.item_code, m.location_id, m.occurred_at, m.quantity, m.unit,
    m.case_number, m.document_number, f.file_name, m.line
from accepted.supply_movements as m
inner join (select * {COUNTED}) as b
    on m.item_code = b.item_code and m.location_id = b.location_id
    and m.occurred_at <= b.counted_at and coalesce(m.occurred_at >= b.opened_at, true)
left join raw.files as f on m.file_id = f.file_id
where m.movement_kind = {literal(part)}
    and (m.movement_kind <> 'counted' or m.occurred_at = b.counted_at)
order by m.occurred_at desc, m.movement_id""",
        (
            Column("movement_id", "Movement", Kind.ID),
            Column("item_code", "Item", Kind.ID),
            Column("location_id", "Place", Kind.PLACE),
            Column("occurred_at", "When", Kind.INSTANT, zone_by="location_id"),
            Column("quantity", "Quantity", Kind.QUANTITY),
            Column("unit", "Unit", Kind.CODE),
            Column("case_number", "Case", Kind.CASE, empty="[z]"),
            Column("document_number", "Document", Kind.ID, empty="[z]"),
            Column("file_name", "File"),
            Column("line", "Line", Kind.LINE),
        ),
        source="accepted.supply_movements",
        none=State(Mark.CHECKED, "No movement of this kind stands in these balances."),
        shown=120,
    )
