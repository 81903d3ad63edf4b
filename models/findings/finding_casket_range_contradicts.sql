-- 16 CFR 453.2(b)(4)(iii)(A): the range on the general list is that of the casket list of the same day.
{{ range_finding(
    "casket_range_contradicts", category="casket_range_or_prices", list_kind="casket", item_kind="casket",
    what="caskets"
) }}
