"""Goods billed, issued and bought; deliveries and bills."""

from tests.models.money_scenario.group import Group

URN = ("URN-1", "1", "180")
CASKET = ("CSK-1", "1", "900")


def plant(group: Group) -> None:
    _billed(group)
    _issued(group)
    _quantities(group)
    _nobody(group)
    _bought(group)
    _swapped(group)
    _deliveries(group)


def _billed(group: Group) -> None:
    group.billed(group.fault("billed_not_issued", group.case("urn never issued")), URN)
    back = group.fault("billed_not_issued", group.case("urn issued and returned"))
    group.billed(back, URN)
    group.moved("issued", "URN-1", case=back)
    group.moved("returned", "URN-1", case=back, at="2026-06-04 14:00:00")
    kept = group.fault("issued_not_billed", group.case("urn issued, its line credited"))
    invoice = group.billed(kept, URN)
    group.billed(kept, ("URN-1", "-1", "180"), kind="credit", corrects=invoice)
    group.moved("issued", "URN-1", case=kept)
    credited = group.twin("billed_not_issued", group.case("urn credited"))
    invoice = group.billed(credited, URN)
    group.billed(credited, ("URN-1", "-1", "180"), kind="credit", corrects=invoice)
    recent = group.twin("billed_not_issued", group.case("urn billed last week", closed=False))
    group.billed(recent, URN, date="2026-11-09")
    held = group.twin("billed_not_issued", group.case("issue held back"))
    group.billed(held, URN)
    group.hold("supply_movements", movement_id="H2", case_number=held, item_code="URN-1",
               location_id="ALDER", movement_kind="issued")  # fmt: skip


def _issued(group: Group) -> None:
    group.moved("issued", "CSK-1", case=group.fault("issued_not_billed", group.case("no bill")))
    covered = group.twin("issued_not_billed", group.case("container covered"))
    group.billed(covered, ("DIRECT", "1", "1500"))
    group.moved("issued", "ALT-1", case=covered)
    returned = group.twin("issued_not_billed", group.case("urn returned"))
    group.moved("issued", "URN-1", case=returned)
    group.moved("returned", "URN-1", case=returned, at="2026-06-04 14:00:00")
    recent = group.twin("issued_not_billed", group.case("issued last week", closed=False))
    group.moved("issued", "URN-1", case=recent, at="2026-11-09 14:00:00")
    held = group.twin("issued_not_billed", group.case("invoice line held back"))
    group.moved("issued", "URN-1", case=held)
    group.hold("statement_lines", document_number="H3", case_number=held, item_code="URN-1")


def _quantities(group: Group) -> None:
    more = group.fault("goods_quantity_differs", group.case("two caskets billed, one issued"))
    group.billed(more, CASKET, CASKET)
    group.moved("issued", "CSK-1", case=more)
    fewer = group.fault("goods_quantity_differs", group.case("two urns issued, one billed"))
    group.billed(fewer, URN)
    group.moved("issued", "URN-1", "2", case=fewer)
    days = group.twin("goods_quantity_differs", group.case("two urns, issued on two days"))
    group.billed(days, ("URN-1", "2", "180"))
    group.moved("issued", "URN-1", case=days)
    group.moved("issued", "URN-1", case=days, at="2026-06-05 14:00:00")
    direct = group.twin("billed_not_issued", group.case("casket sent straight to the family"))
    group.billed(direct, CASKET)
    _bill(group, "ELM", "400", None)
    group.rows["supplier_bill_lines"][-1]["case_number"] = direct


def _bought(group: Group) -> None:
    for case, date, billed in (
        ("notice paid and not billed", "2026-06-12", False),
        ("notice paid and billed", "2026-06-12", True),
        ("notice paid last week", "2026-11-09", False),
    ):
        group.case(case, closed="last week" not in case)
        if billed:
            group.billed(case, ("ADV-OBIT", "1", "260"))
        group.add("supplier_bill_lines", supplier_code="PAPER", bill_number=case, line_number=1,
                  bill_date=date, location_id="ALDER", item_code="ADV-OBIT", quantity="1",
                  unit_cost="260", line_total="260", case_number=case)  # fmt: skip
        if billed or "last week" in case:
            group.twin("bought_not_billed", case)
    group.fault("bought_not_billed", "notice paid and not billed")
    uncoded = group.twin("bought_not_billed", group.case("notice billed without a code"))
    group.billed(uncoded, ("", "1", "260"), category="cash_advance")
    group.add("supplier_bill_lines", supplier_code="PAPER", bill_number=uncoded, line_number=1,
              bill_date="2026-06-12", location_id="ALDER", item_code="ADV-OBIT", quantity="1",
              unit_cost="260", line_total="260", case_number=uncoded)  # fmt: skip


def _nobody(group: Group) -> None:
    group.moved("issued", "URN-1", place=group.fault("goods_issued_to_nobody", "YEW"))
    group.moved("written_off", "URN-1", place=group.twin("goods_issued_to_nobody", "MAPLE"))


def _swapped(group: Group) -> None:
    swapped = group.fault("merchandise_swapped", group.case("caskets swapped"))
    group.billed(swapped, CASKET)
    group.moved("issued", "CSK-2", case=swapped)
    agreed = group.twin("merchandise_swapped", group.case("exchanged in time"))
    group.billed(agreed, CASKET)
    group.moved("issued", "CSK-2", case=agreed)
    group.moved("returned", "CSK-2", case=agreed, at="2026-06-03 15:00:00")
    group.moved("issued", "CSK-1", case=agreed, at="2026-06-03 15:10:00")


def _bill(group: Group, place: str, cost: str, delivery: str | None, quantity: str = "1") -> None:
    number = f"B{len(group.rows['supplier_bill_lines'])}"
    group.add("supplier_bill_lines", supplier_code="WOOD", bill_number=number, line_number=1,
              bill_date="2026-06-08", location_id=place, item_code="CSK-1", quantity=quantity,
              unit_cost=cost, line_total=cost, delivery_document=delivery)  # fmt: skip


def _deliveries(group: Group) -> None:
    group.fault("received_not_billed", "ELM")
    group.moved("received", "CSK-1", "2", place="ELM", document_number="DN-1")
    _bill(group, "ELM", "400", "DN-1")
    group.twin("received_not_billed", "CEDAR")
    group.moved("received", "CSK-1", place="CEDAR", document_number="DN-2")
    _bill(group, "CEDAR", "418", "DN-2")
    group.moved("received", "CSK-1", place="CEDAR", document_number="DN-3",
                at="2026-10-20 09:00:00")  # fmt: skip
    group.fault("billed_not_received", "FIR")
    _bill(group, "FIR", "400", "DN-9")
    group.twin("billed_not_received", "BIRCH")
    _bill(group, "BIRCH", "400", None)
    group.fault("bill_price_off", "GUM")
    _bill(group, "GUM", "430", None)
    # 418 is 4.5 % above the list cost of 400.
    group.twin("bill_price_off", "CEDAR")
