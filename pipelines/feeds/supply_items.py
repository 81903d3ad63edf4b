"""Chemicals and merchandise that the group keeps."""

from pipelines.feeds.declare import Column, Feed, Form

#: Units of the open unit-code lists that the group may write; factors in ``unit_factors``.
UNITS = ("each", "ml", "l", "fl_oz", "pint", "quart", "gal", "imperial_gal", "g", "kg", "oz", "lb")

FEED = Feed(
    name="supply_items",
    family="supply",
    order=40,
    meaning="What the group keeps in stock: fluids, protective goods, caskets, urns.",
    grain="One row per item.",
    key=("item_code",),
    columns=(
        Column("item_code", Form.IDENTIFIER, "The group's code of the item.", True,
               example="FL-ART-25"),
        Column("description", Form.PROSE, "What it is.", True, example="Arterial fluid, index 25"),
        Column("item_kind", Form.CODE, "Kind of item.", True,
               allowed=("arterial_fluid", "cavity_fluid", "supplementary_fluid", "dye",
                        "disinfectant", "protective", "casket", "urn", "outer_container",
                        "alternative_container", "other"), example="arterial_fluid"),
        Column("unit", Form.CODE, "Unit it is kept in.", True, allowed=UNITS, example="each"),
        Column("content_ml", Form.NUMBER, "Content of one unit.", unit="mL",
               example="473.176", minimum=0),
        Column("formaldehyde_index", Form.NUMBER, "Formaldehyde in the fluid.",
               unit="g per 100 mL", source="US federal item descriptions A-A-52075, A-A-50170",
               example="25", minimum=0),
        Column("list_cost", Form.COST, "Supplier's list price of one unit.", unit="USD",
               example="6.40", minimum=0),
    ),
)  # fmt: skip
