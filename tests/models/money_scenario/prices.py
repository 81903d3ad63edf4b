"""Price lists, and charges held against them (16 CFR 453)."""

from decimal import Decimal

from tests.models.money_scenario.group import CASKETS, OFFERED, RISE, Group

HEARSE = ("HEARSE", "1", "300")


def plant(group: Group) -> None:
    _lists(group)
    _faults_of_lists(group)
    _against_the_list(group)
    _packages(group)
    _basic_fee_and_reasons(group)
    _advances(group)


def _general_list(group: Group, home: str, since: str = "2026-01-01", rise: Decimal = Decimal(0),
                  leave_out: tuple[str, ...] = (), keys: str | None = None) -> None:  # fmt: skip
    group.listed(home, "HEADER", "0", since=since, disclosure_keys=keys)
    for code, (_, price) in OFFERED.items():
        if code not in leave_out:
            group.listed(home, code, str(Decimal(price) + rise), since=since,
                         includes_items="BASIC;ALT-1" if code == "DIRECT" else None)  # fmt: skip


def _casket_lists(group: Group, home: str, low: str = "900", high: str = "2400",
                  since: str = "2026-01-01", rise: Decimal = Decimal(0)) -> None:  # fmt: skip
    group.listed(home, "CSK-RANGE", low, since=since, price_high=high, variant="range")
    for code, price in CASKETS.items():
        group.listed(home, code, str(Decimal(price) + rise), kind="casket", since=since)
    group.listed(home, "ALT-1", "95", kind="casket", since=since, variant="alternative_container",
                 category="casket_range_or_prices")  # fmt: skip


def _outer_list(group: Group, home: str, high: str) -> None:
    group.listed(home, "OBC-RANGE", "900", price_high=high, variant="range")
    for code, price in (("OBC-1", "900"), ("OBC-2", "1800")):
        group.listed(home, code, price, kind="outer_container")


def _lists(group: Group) -> None:
    _general_list(group, "ALDER")
    _casket_lists(group, "ALDER")
    _general_list(group, "ALDER", "2026-08-01", RISE)
    _casket_lists(group, "ALDER", "950", "2450", "2026-08-01", RISE)
    for since in ("2026-01-01", "2026-08-01"):
        group.listed("ALDER", "FEE-SHIP", "195", since=since,
                     description="Handling of a person shipped by air")  # fmt: skip
        group.listed("ALDER", "URN-1", "180", since=since)
    _general_list(group, "BIRCH", keys="right_of_selection; cash_advance_markup")
    group.listed("BIRCH", "FEE-400", "400")
    for rule in ("second_nondeclinable_fee", "handling_fee", "casket_range_contradicts"):
        group.twin(rule, "ALDER")


def _faults_of_lists(group: Group) -> None:
    group.fault("list_item_missing", "ELM")
    _general_list(group, "ELM", leave_out=("LIMOUSINE",))
    group.billed(group.case("limousine of no list"), ("LIMOUSINE", "1", "150"), home="ELM")
    # Neither listed nor sold: not offered.
    group.twin("list_item_missing", "HAZEL")
    group.listed("HAZEL", "HEADER", "0")
    # Only the item that changed: the list before it stands for the rest.
    group.fault("list_version_partial", "BIRCH")
    group.listed("BIRCH", "FEE-400", "410", since="2026-06-02")
    group.twin("list_version_partial", "ALDER")
    part = group.case("after a part of a list", arranged="2026-06-03 09:00:00")
    group.twin("item_not_on_list", part)
    group.billed(part, HEARSE, ("FEE-400", "1", "410"), home="BIRCH")
    group.fault("no_list_in_force", "CEDAR")
    for number in ("no list", "no list either"):
        group.billed(group.case(number), HEARSE, home="CEDAR")
    group.twin("no_list_in_force", "JUNIPER")
    group.billed(group.case("parking alone"), ("ADV-PARKING", "1", "12"), home="JUNIPER")
    group.fault("second_nondeclinable_fee", "FIR")
    group.listed("FIR", "FEE-DOC", "90", is_declinable=False)
    group.fault("handling_fee", "GUM")
    group.listed("GUM", "FEE-H", "195", description="Casket handling")
    group.fault("handling_fee", "HAZEL")
    group.listed("HAZEL", "FEE-P", "195", description="Reception", variant="purchaser_casket")
    group.fault("casket_range_contradicts", "HAZEL")
    _casket_lists(group, "HAZEL", high="2000")
    _outer_list(group, group.fault("outer_range_contradicts", "FIR"), high="2000")
    _outer_list(group, group.twin("outer_range_contradicts", "GUM"), high="1800")
    alternative = {"category": "direct_cremation", "variant": "alternative_container"}
    group.listed(group.fault("direct_cremation_variant_missing", "FIR"), "DIR-ALT", "1500",
                 **alternative)  # fmt: skip
    group.listed(group.twin("direct_cremation_variant_missing", "GUM"), "DIR-ALT", "1500",
                 **alternative)  # fmt: skip
    group.listed("GUM", "DIR-OWN", "1400", category="direct_cremation",
                 variant="purchaser_container")  # fmt: skip
    group.listed(group.fault("list_price_changed", "LARCH"), "FEE-400", "400")
    group.price_was(group.rows["price_lists"][-1], "380.00")
    group.listed(group.twin("list_price_changed", "MAPLE"), "FEE-400", "400")
    group.price_was(group.rows["price_lists"][-1], "400")
    group.listed("MAPLE", "FEE-401", "400", since="2026-06-16")
    group.price_was(group.rows["price_lists"][-1], "380.00")
    # BIRCH names two disclosures, and none of those beside its prices; ALDER exports none.
    group.fault("disclosure_missing", "BIRCH")
    group.twin("disclosure_missing", "ALDER")
    # The casket list alone changes in June: wrong from that day on.
    group.fault("casket_range_contradicts", "GUM")
    _casket_lists(group, "GUM")
    group.listed("GUM", "CSK-1", "950", kind="casket", since="2026-06-01")


def _against_the_list(group: Group) -> None:
    dearer = ("HEARSE", "1", "350")
    group.billed(group.fault("charge_above_list", group.case("above the list")), dearer)
    later = group.case("list of the arrangement", arranged="2026-08-01 09:00:00")
    group.billed(group.twin("charge_above_list", later), dearer, date="2026-08-20")
    back = group.twin("charge_above_list", group.case("excess credited"))
    invoice = group.billed(back, dearer)
    group.billed(back, ("HEARSE", "-1", "50"), kind="credit", corrects=invoice)
    group.billed(group.fault("item_not_on_list", group.case("off the list")), ("CSK-9", "1", "999"))
    trade = group.twin("item_not_on_list", group.case("hair of a trade call", trade=True))
    group.billed(trade, ("FEE-HAIR", "1", "75"))
    advance = group.fault("category_contradicts", group.case("hearse as an advance"))
    group.billed(advance, ("HEARSE", "1", "900"), is_cash_advance=True)
    renamed = group.case("embalming as preparation", approved=None)
    group.embalmed(renamed)
    group.billed(renamed, ("EMBALM", "1", "825"), category="other_preparation")
    for rule in ("category_contradicts", "embalming_charged_unapproved"):
        group.fault(rule, renamed)
    goods = group.twin("category_contradicts", group.case("casket as merchandise"))
    group.billed(goods, ("CSK-1", "1", "900"), category="merchandise")
    group.moved("issued", "CSK-1", case=goods)
    mended = group.twin("category_contradicts", group.case("hearse as an advance, credited"))
    invoice = group.billed(mended, HEARSE, is_cash_advance=True)
    group.billed(mended, ("HEARSE", "-1", "300"), kind="credit", corrects=invoice,
                 is_cash_advance=True)  # fmt: skip
    urn = group.twin("item_not_on_list", group.case("urn to order"))
    group.billed(urn, ("URN-2", "1", "333"))
    group.moved("issued", "URN-2", case=urn)
    fee = ("FEE-X", "1", "195")
    group.billed(group.fault("handling_fee", group.case("handling billed")), fee,
                 description="Receiving and handling of a casket bought elsewhere")  # fmt: skip
    group.billed(group.fault("handling_fee", group.case("handling renamed")), fee,
                 description="Receiving casket from outside supplier")  # fmt: skip
    for said in ("Outside urn acceptance", "Storage of third-party casket",
                 "Third-party merchandise fee", "Inspection of a casket purchased online",
                 "Casket purchased elsewhere: surcharge",
                 "Transfer of remains into a casket bought elsewhere, a fee"):  # fmt: skip
        group.billed(group.fault("handling_fee", group.case(said)), fee, description=said)
    for said in ("Handling of documents for return of remains abroad", "Handling of furniture",
                 "Urn for outside niche", "Dressing, casketing and handling"):  # fmt: skip
        group.billed(group.twin("handling_fee", group.case(said)), ("FEE-SHIP", "1", "195"),
                     description=said)  # fmt: skip
    received = group.case("received from elsewhere")
    group.billed(group.twin("handling_fee", received), ("FEE-SHIP", "1", "195"),
                 description="Receiving of remains from elsewhere in their container")  # fmt: skip
    group.billed(group.twin("handling_fee", group.case("shipped by air")), ("FEE-SHIP", "1", "195"),
                 description="Handling of a person shipped by air")  # fmt: skip


def _packages(group: Group) -> None:
    _general_list(group, "IVY")
    group.listed("IVY", "PKG-ALL", "4950", category="package", charge_basis="flat",
                 includes_items="BASIC; EMBALM;VIEWING;LIMOUSINE;CSK-1")  # fmt: skip
    _casket_lists(group, "IVY")
    package, viewing = ("PKG-ALL", "1", "4950"), ("VIEWING", "1", "500")
    case = group.fault("package_contents_billed", group.case("viewing beside its package"))
    group.embalmed(case)
    group.billed(case, package, viewing, home="IVY", category="package")
    group.rows["statement_lines"][-1]["category"] = "facilities_staff_viewing"
    casket = group.fault("package_contents_billed", group.case("casket beside its package"))
    group.billed(casket, package, home="IVY", category="package")
    group.billed(casket, ("CSK-1", "1", "900"), home="IVY")
    group.moved("issued", "CSK-1", case=casket, place="IVY")
    unasked = group.case("package embalmed unasked", approved=None)
    group.embalmed(group.fault("embalming_charged_unapproved", unasked))
    group.billed(unasked, package, home="IVY", category="package")
    group.moved("issued", "CSK-1", case=unasked, place="IVY")
    declined = group.case("package, not embalmed", approved=None)
    group.billed(group.twin("embalming_charged_unapproved", declined), package, home="IVY",
                 category="package")  # fmt: skip
    more = group.twin("package_contents_billed", group.case("a second limousine"))
    group.billed(more, package, home="IVY", category="package")
    group.billed(more, ("LIMOUSINE", "1", "150"), home="IVY")
    back = group.twin("package_contents_billed", group.case("viewing beside its package, credited"))
    group.billed(back, package, home="IVY", category="package")
    invoice = group.billed(back, viewing, home="IVY")
    group.billed(back, ("VIEWING", "-1", "500"), kind="credit", home="IVY", corrects=invoice)
    other = group.twin("package_contents_billed", group.case("a ceremony beside the package"))
    group.billed(other, package, home="IVY", category="package")
    group.billed(other, ("CEREMONY", "1", "600"), home="IVY")


def _basic_fee_and_reasons(group: Group) -> None:
    basic = ("BASIC", "1", "2100")
    twice = group.fault("basic_fee_twice", group.case("basic fee on two invoices"))
    group.billed(twice, basic)
    group.billed(twice, basic, date="2026-06-20")
    group.billed(group.fault("basic_fee_twice", group.case("basic fee and direct cremation")),
                 basic, ("DIRECT", "1", "1500"))  # fmt: skip
    homes = group.fault("basic_fee_twice", group.case("basic fee of two homes"))
    group.billed(homes, basic)
    group.billed(homes, basic, HEARSE, home="BIRCH", date="2026-06-20")
    sent = group.twin("basic_fee_twice", group.case("sent on by one home, received by another"))
    group.billed(sent, ("FORWARD", "1", "1900"))
    group.billed(sent, basic, home="BIRCH", date="2026-06-20")
    shared = group.twin("basic_fee_twice", group.case("half of the fee at each home"))
    group.billed(shared, ("BASIC", "0.5", "2100"))
    group.billed(shared, ("BASIC", "0.5", "2100"), HEARSE, home="BIRCH", date="2026-06-20")
    changed = group.twin("basic_fee_twice", group.case("direct cremation taken back"))
    invoice = group.billed(changed, ("DIRECT", "1", "1500"))
    group.billed(changed, ("DIRECT", "-1", "1500"), kind="credit", corrects=invoice)
    group.billed(changed, basic, ("VIEWING", "1", "500"))
    for case, reason in (("required, no reason", " "), ("required, reason given", "Cemetery")):
        group.billed(group.case(case), HEARSE, is_required=True, required_reason=reason)
    group.fault("required_without_reason", "required, no reason")
    group.twin("required_without_reason", "required, reason given")
    direct = ("DIRECT", "1", "1500")
    for rule, code in ((group.fault, "CSK-1"), (group.twin, "ALT-1")):
        case = rule("casket_required_for_direct_cremation", group.case(f"{code} required"))
        group.billed(case, (code, "1", "95"), direct, kind="estimate", date="2026-06-01",
                     category="casket_range_or_prices", is_required=True,
                     required_reason="The crematory requires it")  # fmt: skip
        group.last_line()["category"] = "direct_cremation"
    chosen = group.case("casket chosen for a direct cremation")
    group.twin("casket_required_for_direct_cremation", chosen)
    group.billed(chosen, direct, ("CSK-1", "1", "900"), kind="estimate",
                 date="2026-06-01")  # fmt: skip


def _advances(group: Group) -> None:
    for case, home, paid in (
        ("advance marked up", "ALDER", "260"),
        ("at cost", "ALDER", "310"),
        ("bill pending", "ALDER", None),
        ("disclosed", "BIRCH", "260"),
    ):
        group.billed(group.case(case), ("ADV-OBIT", "1", "310"), home=home)
        if paid:
            group.add("supplier_bill_lines", supplier_code="PAPER", bill_number=case, line_number=1,
                      bill_date="2026-06-12", location_id=home, item_code="ADV-OBIT", quantity="1",
                      unit_cost=paid, line_total=paid, case_number=case)  # fmt: skip
        if case != "advance marked up":
            group.twin("advance_above_cost", case)
    group.fault("advance_above_cost", "advance marked up")
