"""What families were quoted and billed."""

from pipelines.feeds.declare import Column, Feed, Form
from pipelines.feeds.price_lists import CATEGORIES

FEED = Feed(
    name="statement_lines",
    family="money",
    order=80,
    meaning="Lines of estimates, invoices and credits.",
    grain="One row per line of a document.",
    key=("document_number", "line_number"),
    dated_by="document_date",
    columns=(
        Column("document_number", Form.IDENTIFIER, "Number of the document.", True,
               aliases=("invoice_number",), example="AL-INV-0001"),
        Column("line_number", Form.COUNT, "Line within it.", True, example="1"),
        Column("document_kind", Form.CODE, "What it is.", True,
               allowed=("estimate", "invoice", "credit"), example="invoice"),
        Column("case_number", Form.IDENTIFIER, "The case.", True, refers_to="cases.case_number",
               example="AL-26-0001"),
        Column("location_id", Form.IDENTIFIER, "The home that bills.", True,
               refers_to="locations.location_id", example="ALDER"),
        Column("document_date", Form.DATE, "Date on the document.", True, example="2026-06-08"),
        Column("item_code", Form.IDENTIFIER, "Code of the item.", example="EMBALM"),
        Column("category", Form.CODE, "Category of the item.", True, allowed=CATEGORIES,
               source="16 CFR 453.2(b)(4)(ii)-(iii), and our own for the rest",
               example="embalming"),
        Column("description", Form.PROSE, "What the family reads.", True, example="Embalming"),
        Column("quantity", Form.QUANTITY, "How many; negative in credits and discounts.", True,
               example="1"),
        Column("unit_price", Form.COST, "Price of one.", True, unit="USD",
               example="825.00", minimum=0),
        Column("line_total", Form.MONEY, "Quantity times unit price.", True, unit="USD",
               example="825.00"),
        Column("is_required", Form.YES_NO, "Law, cemetery or crematory requires it.",
               example="N"),
        Column("required_reason", Form.PROSE, "Why it is required, in writing.",
               source="16 CFR 453.3(d)(2)"),
        Column("is_cash_advance", Form.YES_NO, "Bought from a third party for the family.",
               source="16 CFR 453.1(b)", example="N"),
        Column("corrects_document", Form.IDENTIFIER, "The document that a credit corrects."),
    ),
)  # fmt: skip
