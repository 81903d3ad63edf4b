"""What each home charges, from when."""

from pipelines.feeds.declare import Column, Feed, Form

#: The sixteen priced items of the general price list, 16 CFR 453.2(b)(4)(ii)-(iii), in its order.
SIXTEEN = (
    "forwarding_remains",
    "receiving_remains",
    "direct_cremation",
    "immediate_burial",
    "transfer_of_remains",
    "embalming",
    "other_preparation",
    "facilities_staff_viewing",
    "facilities_staff_funeral_ceremony",
    "facilities_staff_memorial_service",
    "equipment_staff_graveside",
    "hearse",
    "limousine",
    "casket_range_or_prices",
    "outer_burial_container_range_or_prices",
    "basic_services_fee",
)
CATEGORIES = (
    *SIXTEEN, "cash_advance", "merchandise", "package", "tax", "discount", "list_header", "other",
)  # fmt: skip

FEED = Feed(
    name="price_lists",
    family="money",
    order=70,
    meaning="Price lists of each home: general, casket, outer container.",
    grain="One row per item of a list that came into force on a date.",
    key=("location_id", "list_kind", "effective_from", "item_code"),
    dated_by="effective_from",
    columns=(
        Column("location_id", Form.IDENTIFIER, "The home.", True,
               refers_to="locations.location_id", example="ALDER"),
        Column("list_kind", Form.CODE, "Which list.", True,
               allowed=("general", "casket", "outer_container"),
               source="16 CFR 453.2(b)(2)-(4)", example="general"),
        Column("effective_from", Form.DATE, "First day in force.", True, example="2026-01-01",
               may_be_planned=True),
        Column("item_code", Form.IDENTIFIER, "Code of the item.", True, example="EMBALM"),
        Column("category", Form.CODE, "Category of the item.", True, allowed=CATEGORIES,
               source="16 CFR 453.2(b)(4)(ii)-(iii), and our own for the rest",
               example="embalming"),
        Column("description", Form.PROSE, "What the family reads.", True, example="Embalming"),
        Column("price", Form.COST, "Price, or the lower end of a range.", True, unit="USD",
               example="825.00", minimum=0),
        Column("price_high", Form.COST, "Upper end of a range.", unit="USD", minimum=0),
        Column("charge_basis", Form.CODE, "What the price is for.",
               allowed=("flat", "per_hour", "per_mile", "per_unit"), example="flat"),
        Column("is_declinable", Form.YES_NO, "The family may decline it.", example="Y"),
        Column("variant", Form.CODE, "Which offering of the item.",
               allowed=("purchaser_container", "alternative_container", "purchaser_casket",
                        "with_casket", "range"), example="alternative_container"),
        Column("includes_items", Form.CODES, "Item codes that the price covers.",
               example="BASIC;TRANSFER"),
        Column("disclosure_keys", Form.CODES, "Disclosures printed with it.",
               example="embalming_not_required"),
    ),
)  # fmt: skip
