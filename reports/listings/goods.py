"""Which items are goods for families, and which findings of stock are about them."""

GOODS_KINDS = "('casket', 'urn', 'outer_container', 'alternative_container')"

#: A rule of stock is one for everything in it; goods are the accountant's, fluids and what protects
#: from them the safety officer's.
STOCK_RULES = "('stock_short', 'stock_over', 'sent_not_arrived', 'returned_not_issued')"
GOODS_MOVED = f"""rule_code in {STOCK_RULES} and exists (
        select 1 from accepted.supply_movements as m
        inner join accepted.supply_items as i on m.item_code = i.item_code
        where m.file_id = findings.file_id_a and m.line = findings.line_a
            and i.item_kind in {GOODS_KINDS}
    )"""
#: The findings of the accountant's page of goods, and those of the page of chemicals.
OF_GOODS = f"(family = 'merchandise' or {GOODS_MOVED})"
OF_CHEMICALS = f"(family = 'chemicals' and not ({GOODS_MOVED}))"
