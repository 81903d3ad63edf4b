"""What came in, what went out, what was counted."""

from pipelines.feeds.declare import Column, Feed, Form
from pipelines.feeds.supply_items import UNITS

FEED = Feed(
    name="supply_movements",
    family="supply",
    order=50,
    meaning="Every movement of stock: opening, received, issued, returned, sent, arrived, counted.",
    grain="One row per movement.",
    key=("movement_id",),
    zone_from=("location_id",),
    dated_by="occurred_at",
    columns=(
        Column("movement_id", Form.IDENTIFIER, "Number of the movement.", True,
               example="MV-000001"),
        Column("occurred_at", Form.INSTANT, "When it happened.", True,
               example="2026-06-01T14:00-05:00"),
        Column("location_id", Form.IDENTIFIER, "Where the stock is.", True,
               refers_to="locations.location_id", example="CARE"),
        Column("item_code", Form.IDENTIFIER, "The item.", True,
               refers_to="supply_items.item_code", example="FL-ART-25"),
        Column("movement_kind", Form.CODE, "What happened.", True,
               allowed=("opening", "received", "issued", "returned", "sent", "arrived", "counted",
                        "written_off"), example="issued"),
        Column("quantity", Form.QUANTITY, "How much, always positive.", True, example="2"),
        Column("unit", Form.CODE, "Unit of the quantity.", True, allowed=UNITS, example="each"),
        Column("unit_cost", Form.COST, "Cost of one unit.", unit="USD", example="6.40", minimum=0),
        Column("lot_number", Form.IDENTIFIER, "Maker's lot.", example="L-2604"),
        Column("expires_date", Form.DATE, "Last day it may be used.", example="2027-12-31",
               may_be_planned=True),
        Column("case_number", Form.IDENTIFIER, "The case it went to.",
               refers_to="cases.case_number", example="AL-26-0001"),
        Column("mixed_volume_ml", Form.NUMBER, "Finished volume of the solution.", unit="mL",
               example="7570", minimum=0),
        Column("document_number", Form.IDENTIFIER, "Delivery note or count sheet.",
               example="DN-3310"),
        Column("recorded_by", Form.TEXT, "Who wrote it down.", example="staff-07"),
    ),
)  # fmt: skip
