"""Plants of goods that were billed, issued, bought or received, and not all of these."""

from pipelines.demo_group.plants.changes import add_issue, add_line, set_in, text
from pipelines.demo_group.plants.plant import NEWEST, Plant, found, silent

_CASKET = "p.is_done and p.has_casket and p.ending = 'burial'"
_NO_URN = "p.is_done and p.ending = 'cremation' and not p.has_urn and not p.has_credit"
_URN = "p.is_done and p.urn = 'URN-03'"


def _delivery_line(bill: str, item_code: str) -> str:
    return f"bill_number = {text(bill)} and item_code = {item_code}"


def _first_item(bill: str) -> str:
    return f"(select min(item_code) from supplier_bill_lines where bill_number = {text(bill)})"


def _bill_key(supplier: str, bill: str, item_code: str) -> str:
    return (
        f"(select '{supplier}|{bill}|' || line_number from supplier_bill_lines "
        f"where {_delivery_line(bill, item_code)})"
    )


def _receipt(delivery: str) -> str:
    """The first movement of a delivery, by item."""
    return (
        f"(select min(movement_id) from supply_movements where document_number = {text(delivery)})"
    )


def _drop_bill(delivery: str) -> str:
    bill = delivery.replace("DLV-", "B-")
    return (
        f"delete from supplier_bill_lines where bill_number = '{bill}' "
        f"and 'MV-{delivery}-' || item_code = {_receipt(delivery)}"
    )


def _drop_receipt(delivery: str) -> str:
    return f"delete from supply_movements where movement_id = {_receipt(delivery)}"


def _cost(bill: str, item_code: str, percent: int) -> str:
    cost = f"(select (list_cost::decimal(18, 2) * {percent} / 100)::decimal(18, 2) from supply_items where item_code = '{item_code}')"
    return set_in(
        "supplier_bill_lines",
        _delivery_line(bill, text(item_code)),
        unit_cost=f"{cost}::varchar",
        line_total=f"({cost} * quantity::decimal(18, 0))::decimal(18, 2)::varchar",
    )


def _second_notice(item_code: str) -> str:
    return (
        f"insert into supplier_bill_lines by name select * replace ('91' as line_number, {item_code} as item_code, "
        "'Second notice' as description, '1' as quantity, '95.00' as unit_cost, '95.00' as line_total) "
        "from supplier_bill_lines where bill_number = 'CA-{case}' and item_code = 'ADV-OBIT'"
    )


_ALDER_JULY = "DLV-ALDER-2607-C-1"
_ALDER_NOVEMBER = "DLV-ALDER-2611-C-1"
_CEDAR_JULY = "DLV-CEDAR-2607-C-1"
_CEDAR_NOVEMBER = "DLV-CEDAR-2611-C-1"

PLANTS: tuple[Plant, ...] = (
    found(
        "billed_not_issued",
        "A casket billed that never left the stock",
        where=_CASKET,
        changes=("delete from supply_movements where movement_id = 'MV-{case}-14'",),
    ),
    silent(
        "billed_not_issued",
        "An urn billed by mistake and credited",
        where=_NO_URN,
        changes=(
            add_line("I", 91, "URN-01", "merchandise", "Tin urn, plain", "1", "60.00", "60.00"),
            add_line("C", 91, "URN-01", "merchandise", "Tin urn, plain", "-1", "60.00", "-60.00"),
        ),
    ),
    found(
        "issued_not_billed",
        "An urn that no line bills",
        where=_NO_URN,
        record_key="MV-{case}-91",
        changes=(add_issue(91, "issued", "URN-02", "home", 300, "1"),),
    ),
    silent(
        "issued_not_billed",
        "A container that the direct cremation covers",
        record_key="MV-{case}-3",
        where="p.is_done and p.has_direct_cremation",
    ),
    found(
        "bought_not_billed",
        "A second notice in another paper, paid and not billed",
        where="p.is_done and p.has_notice",
        record_key="HERALD|CA-{case}|91",
        changes=(_second_notice(text("ADV-OBIT-2")),),
    ),
    silent(
        "bought_not_billed",
        "A second notice, paid, and billed at cost",
        where="p.is_done and p.has_notice and not p.has_two_invoices",
        record_key="HERALD|CA-{case}|91",
        changes=(
            _second_notice(text("ADV-OBIT-2")),
            add_line(
                "I",
                91,
                "ADV-OBIT-2",
                "cash_advance",
                "Second notice",
                "1",
                "95.00",
                "95.00",
                is_cash_advance="'Y'",
            ),
        ),
    ),
    found(
        "goods_issued_to_nobody",
        "An urn issued, and nobody wrote for whom",
        where=_CASKET,
        order_by=NEWEST,
        case_number="",
        record_key="MV-{case}-91",
        changes=(add_issue(91, "issued", "URN-03", "home", 300, "1", case_number="null"),),
    ),
    silent(
        "goods_issued_to_nobody",
        "An urn that broke, written off",
        where=_CASKET,
        order_by=NEWEST,
        case_number="",
        record_key="MV-{case}-91",
        changes=(add_issue(91, "written_off", "URN-03", "home", 300, "1", case_number="null"),),
    ),
    found(
        "goods_quantity_differs",
        "Two urns issued, one billed",
        where=_URN + " and not p.has_credit",
        changes=(add_issue(91, "issued", "URN-03", "home", 300, "1"),),
    ),
    silent(
        "goods_quantity_differs",
        "A second urn issued, and brought back",
        where=_URN + " and not p.has_credit",
        changes=(
            add_issue(91, "issued", "URN-03", "home", 300, "1"),
            add_issue(92, "returned", "URN-03", "home", 600, "1"),
        ),
    ),
    found(
        "merchandise_swapped",
        "A walnut urn billed, a brass urn issued",
        where=_URN,
        record_key="MV-{case}-18",
        changes=(set_in("supply_movements", "movement_id = 'MV-{case}-18'", item_code="'URN-04'"),),
    ),
    silent(
        "merchandise_swapped",
        "A brass urn issued and returned, then the walnut one issued",
        where=_URN,
        record_key="MV-{case}-91",
        changes=(
            add_issue(91, "issued", "URN-04", "home", 300, "1"),
            add_issue(92, "returned", "URN-04", "home", 600, "1"),
        ),
    ),
    found(
        "received_not_billed",
        "A delivery of July that nobody billed",
        case_number="",
        record_key=_receipt(_ALDER_JULY),
        changes=(_drop_bill(_ALDER_JULY),),
    ),
    silent(
        "received_not_billed",
        "A delivery of this month, not yet billed",
        case_number="",
        record_key=_receipt(_ALDER_NOVEMBER),
        changes=(_drop_bill(_ALDER_NOVEMBER),),
    ),
    found(
        "billed_not_received",
        "A bill of July for a delivery that never came",
        case_number="",
        record_key=_bill_key("SUP-CASKET", "B-CEDAR-2607-C-1", _first_item("B-CEDAR-2607-C-1")),
        changes=(_drop_receipt(_CEDAR_JULY),),
    ),
    silent(
        "billed_not_received",
        "A bill of this month whose delivery is on its way",
        case_number="",
        record_key=_bill_key("SUP-CASKET", "B-CEDAR-2611-C-1", _first_item("B-CEDAR-2611-C-1")),
        changes=(_drop_receipt(_CEDAR_NOVEMBER),),
    ),
    found(
        "bill_price_off",
        "Fluid billed twelve per cent above its list",
        case_number="",
        record_key=_bill_key("SUP-FLUID", "B-CARE-2608-F-1", "'ART-25'"),
        changes=(_cost("B-CARE-2608-F-1", "ART-25", 112),),
    ),
    silent(
        "bill_price_off",
        "Fluid billed three per cent above its list",
        case_number="",
        record_key=_bill_key("SUP-FLUID", "B-CARE-2609-F-1", "'ART-25'"),
        changes=(_cost("B-CARE-2609-F-1", "ART-25", 103),),
    ),
)
