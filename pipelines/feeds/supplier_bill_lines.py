"""What suppliers billed to the group."""

from pipelines.feeds.declare import Column, Feed, Form

FEED = Feed(
    name="supplier_bill_lines",
    family="money",
    order=90,
    meaning="Lines of suppliers' bills, cash advances included.",
    grain="One row per line of a bill.",
    key=("supplier_code", "bill_number", "line_number"),
    dated_by="bill_date",
    columns=(
        Column("supplier_code", Form.IDENTIFIER, "The supplier.", True, example="SUP-02"),
        Column("bill_number", Form.IDENTIFIER, "Number of the bill.", True, example="88213"),
        Column("line_number", Form.COUNT, "Line within it.", True, example="1"),
        Column("bill_date", Form.DATE, "Date on the bill.", True, example="2026-06-04"),
        Column("location_id", Form.IDENTIFIER, "Who it was delivered to.", True,
               refers_to="locations.location_id", example="CARE"),
        Column("item_code", Form.IDENTIFIER, "Code of the item.", True, example="FL-ART-25"),
        Column("description", Form.PROSE, "What it is.", example="Arterial fluid, index 25"),
        Column("quantity", Form.QUANTITY, "How many.", True, example="24"),
        Column("unit_cost", Form.COST, "Cost of one.", True, unit="USD", example="6.40", minimum=0),
        Column("line_total", Form.MONEY, "Quantity times unit cost.", True, unit="USD",
               example="153.60"),
        Column("delivery_document", Form.IDENTIFIER, "Delivery note it is for.",
               example="DN-3310"),
        Column("case_number", Form.IDENTIFIER, "The case, for a cash advance.",
               refers_to="cases.case_number"),
    ),
)  # fmt: skip
