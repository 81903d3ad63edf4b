"""Estimates, invoices and credits held against one another (16 CFR 453.2(b)(5))."""

from tests.models.money_scenario.group import Group
from tests.models.money_scenario.prices import HEARSE


def plant(group: Group) -> None:
    _estimates(group)
    _two_homes(group)
    _again(group)
    _changed(group)
    _papers(group)
    _absurd(group)


def _estimates(group: Group) -> None:
    dearer = group.fault("invoice_above_estimate", group.case("above the estimate"))
    group.billed(dearer, ("HEARSE", "1", "280"), kind="estimate", date="2026-06-01")
    group.billed(dearer, HEARSE)
    added = group.twin("invoice_above_estimate", group.case("added knowingly"))
    group.billed(added, HEARSE, kind="estimate", date="2026-06-01")
    group.billed(added, HEARSE, ("LIMOUSINE", "2", "150"))
    # The later estimate is the one that was agreed.
    revised = group.twin("invoice_above_estimate", group.case("estimate revised"))
    group.billed(revised, ("HEARSE", "1", "280"), kind="estimate", date="2026-06-01")
    group.billed(revised, HEARSE, kind="estimate", date="2026-06-02")
    group.billed(revised, HEARSE)
    quoted = ("HEARSE", "1", "280")
    more = group.fault("invoice_above_estimate", group.case("above an estimate added to"))
    group.billed(more, quoted, kind="estimate", date="2026-06-01")
    group.billed(more, ("LIMOUSINE", "1", "150"), kind="estimate", date="2026-06-02")
    group.billed(more, HEARSE, ("LIMOUSINE", "1", "150"))
    after = group.fault("invoice_above_estimate", group.case("an estimate from after the bill"))
    group.billed(after, quoted, kind="estimate", date="2026-06-01")
    group.billed(after, HEARSE)
    group.billed(after, HEARSE, kind="estimate", date="2026-06-20")
    elsewhere = group.fault("invoice_above_estimate", group.case("quoted by another home"))
    group.billed(elsewhere, quoted, kind="estimate", date="2026-06-01", home="BIRCH")
    group.billed(elsewhere, HEARSE)
    reworded = group.twin("invoice_above_estimate", group.case("the discount in other words"))
    reduced = {"category": "discount"}
    group.billed(reworded, ("", "-1", "100"), kind="estimate", date="2026-06-01", **reduced,
                 description="Member of the guild")  # fmt: skip
    group.billed(reworded, ("", "-1", "100"), **reduced, description="Discount for members")
    coded = group.twin("invoice_above_estimate", group.case("the discount with a code, then not"))
    group.billed(coded, ("DISCOUNT", "-1", "100"), kind="estimate", date="2026-06-01", **reduced)
    group.billed(coded, ("", "-1", "100"), **reduced, description="Discount for members")


def _two_homes(group: Group) -> None:
    whole, half = ("VIEWING", "1", "500"), ("VIEWING", "0.5", "500")
    both = group.fault("case_billed_twice", group.case("billed by two homes"))
    group.billed(both, whole)
    group.billed(both, whole, home="BIRCH", date="2026-06-11")
    credited = group.twin("case_billed_twice", group.case("second bill credited"))
    group.billed(credited, whole)
    second = group.billed(credited, whole, home="BIRCH")
    group.billed(credited, ("VIEWING", "-1", "500"), kind="credit", home="BIRCH", corrects=second)
    balance = group.twin("case_billed_twice", group.case("deposit and balance"))
    group.billed(balance, half)
    group.billed(balance, half, date="2026-06-20")
    parts = group.twin("case_billed_twice", group.case("two halves of the estimate"))
    group.billed(parts, whole, kind="estimate", date="2026-06-01")
    group.billed(parts, half)
    group.billed(parts, half, home="BIRCH")
    other = group.twin("case_billed_twice", group.case("different items"))
    group.billed(other, ("GRAVESIDE", "1", "400"))
    group.billed(other, ("FEE-400", "1", "400"), home="BIRCH")


def _again(group: Group) -> None:
    once, half = ("VIEWING", "1", "500"), ("VIEWING", "0.5", "500")
    twice = group.fault("service_billed_again", group.case("one viewing on two bills"))
    group.billed(twice, once, kind="estimate", date="2026-06-01")
    group.billed(twice, once)
    group.billed(twice, once, date="2026-06-20")
    other = group.fault("service_billed_again", group.case("one viewing billed by two homes"))
    group.billed(other, once)
    group.billed(other, once, ("LIMOUSINE", "1", "150"), home="BIRCH", date="2026-06-20")
    line = group.fault("service_billed_again", group.case("one viewing on two lines"))
    group.billed(line, once, once)
    drives = group.twin("service_billed_again", group.case("two transfers"))
    group.billed(drives, ("TRANSFER", "1", "350"), ("TRANSFER", "1", "350"))
    halves = group.twin("service_billed_again", group.case("one viewing in two halves"))
    group.billed(halves, once, kind="estimate", date="2026-06-01")
    group.billed(halves, half)
    group.billed(halves, half, date="2026-06-20")
    taken_back = group.twin("service_billed_again", group.case("second viewing credited"))
    group.billed(taken_back, once, kind="estimate", date="2026-06-01")
    group.billed(taken_back, once)
    second = group.billed(taken_back, once, date="2026-06-20")
    group.billed(taken_back, ("VIEWING", "-1", "500"), kind="credit", corrects=second)
    rides = group.twin("service_billed_again", group.case("the car on two days"))
    group.billed(rides, HEARSE)
    group.billed(rides, HEARSE, date="2026-06-20")
    agreed = group.twin("service_billed_again", group.case("two viewings agreed"))
    group.billed(agreed, ("VIEWING", "2", "500"), kind="estimate", date="2026-06-01")
    group.billed(agreed, once)
    group.billed(agreed, once, date="2026-06-20")


def _changed(group: Group) -> None:
    """Lines of the last invoice made are the newest of their feed."""
    dearer = group.fault("invoice_changed", group.case("a car made dearer later"))
    group.billed(dearer, HEARSE)
    group.exported_before(group.last_line(), was="250.00")
    comma = group.fault("invoice_changed", group.case("a car made dearer, written with a comma"))
    group.billed(comma, HEARSE)
    group.exported_before(group.last_line(), was="250,00")
    longer = group.fault("invoice_changed", group.case("a second car added later"))
    group.billed(longer, HEARSE, ("LIMOUSINE", "1", "150"))
    group.exported_before(group.last_line(2))
    shorter = group.fault("invoice_changed", group.case("a second car left out later"))
    group.billed(shorter, HEARSE, ("LIMOUSINE", "1", "150"))
    group.exported_before(group.last_line(2))
    group.left_out(group.last_line())
    to_come = group.twin("invoice_changed", group.case("changed by an export to come"))
    group.billed(to_come, HEARSE)
    group.exported_before(group.last_line(), was="250.00")
    group.quality_rows["changes"][-1]["changed_at"] = "2026-11-17 09:00:00"
    fewer = group.fault("invoice_changed", group.case("two lines left out later"))
    group.billed(fewer, HEARSE, ("LIMOUSINE", "1", "150"), ("VIEWING", "1", "500"))
    group.exported_before(group.last_line(3))
    group.left_out(group.last_line())
    group.left_out(group.last_line())
    same = group.twin("invoice_changed", group.case("nothing but the description mended"))
    group.billed(same, HEARSE)
    group.exported_before(group.last_line())
    for was in ("300", "$300.00"):
        written = group.twin("invoice_changed", group.case(f"the amount written {was}"))
        group.billed(written, HEARSE)
        group.exported_before(group.last_line(), was=was)
    unread = group.twin("invoice_changed", group.case("a letter in the amount mended"))
    group.billed(unread, HEARSE)
    group.exported_before(group.last_line(), was="3OO.00")
    quoted = group.twin("invoice_changed", group.case("an estimate made dearer"))
    group.billed(quoted, HEARSE, kind="estimate", date="2026-06-01")
    group.exported_before(group.last_line(), was="250.00")
    later = group.twin("invoice_changed", group.case("a second invoice in a later export"))
    group.billed(later, HEARSE)
    group.exported_before(group.last_line())
    group.billed(later, ("LIMOUSINE", "1", "150"), date="2026-06-20")


def _papers(group: Group) -> None:
    """What a case must have, and documents that are one thing."""
    fee = ("FEE-400", "1", "400")
    for case in ("quoted", "quoted too", "quoted not"):
        group.case(case, home="OAK")
        if case != "quoted not":
            group.billed(case, fee, kind="estimate", date="2026-06-01", home="OAK")
        group.billed(case, fee, home="OAK")
    group.listed("OAK", "FEE-400", "400")
    group.fault("estimate_missing", "quoted not")
    group.twin("estimate_missing", "quoted")
    group.fault("not_invoiced", group.case("closed and not billed"))
    group.rows["cases"][-1]["closed_at"] = "2026-07-01 15:00:00"
    group.twin("not_invoiced", group.case("closed and billed"))
    group.rows["cases"][-1]["closed_at"] = "2026-07-01 15:00:00"
    group.billed("closed and billed", HEARSE)
    kinds = group.fault("document_contradicts", group.case("a line of another kind"))
    group.billed(kinds, HEARSE, ("LIMOUSINE", "1", "150"))
    group.last_line()["document_kind"] = "estimate"
    homes = group.fault("document_contradicts", group.case("a line of another home"))
    group.billed(homes, HEARSE, ("LIMOUSINE", "1", "150"), ("VIEWING", "1", "500"))
    group.last_line()["location_id"] = "BIRCH"
    for case, other, rule in (
        ("Archer", "Baker", "document_contradicts"), ("Cooper", "Mrs Cooper", None),
    ):  # fmt: skip
        for number in (other, case):
            group.case(number)
            group.rows["cases"][-1]["family_name"] = case if rule is None else number
        group.billed(case, HEARSE, ("LIMOUSINE", "1", "150"), ("VIEWING", "1", "500"))
        group.last_line()["case_number"] = other
        (group.fault if rule else group.twin)("document_contradicts", other)
    paid = group.fault("credit_unfounded", group.case("two viewings credited, one billed"))
    invoice = group.billed(paid, ("VIEWING", "1", "500"))
    group.billed(paid, ("VIEWING", "-2", "500"), kind="credit", corrects=invoice)
    lost = group.fault("credit_unfounded", group.case("a credit of another's invoice"))
    group.billed(lost, ("VIEWING", "2", "500"))
    group.billed(lost, ("VIEWING", "-1", "500"), kind="credit", corrects=invoice)
    twice = group.fault("credit_unfounded", group.case("one viewing credited twice"))
    invoice = group.billed(twice, ("VIEWING", "1", "500"))
    for date in ("2026-06-12", "2026-06-13"):
        group.billed(twice, ("VIEWING", "-1", "500"), kind="credit", corrects=invoice, date=date)
    kind = group.twin("credit_unfounded", group.case("a discount granted afterwards"))
    invoice = group.billed(kind, ("VIEWING", "1", "500"))
    group.billed(kind, ("DISCOUNT", "1", "-50"), kind="credit", corrects=invoice,
                 category="discount")  # fmt: skip
    ahead = group.twin("credit_unfounded", group.case("paid ahead"))
    group.billed(ahead, ("VIEWING", "1", "500"))
    group.billed(ahead, ("FEE-PAID", "-1", "400"), kind="credit")


def _absurd(group: Group) -> None:
    """Amounts beyond the columns of the marts cost one figure, never the run."""
    absurd = group.fault("issued_not_billed", group.case("absurd amounts"))
    group.billed(absurd, ("HEARSE", "30000000000000", "300"), ("", "30000000000000", "300"))
    group.moved("issued", "CSK-1", "99999999999999", case=absurd)
    # That no home has so much fluid is in no sum, and told.
    group.fault("fluid_not_counted", "CARE")
    group.moved("issued", "ART-25", "99999999999999", "gal", case=absurd, place="CARE",
                mixed_volume_ml="99999999999999")  # fmt: skip
