-- 16 CFR 453.2(b)(4)(iii)(B): the same of outer burial containers.
{{ range_finding(
    "outer_range_contradicts", category="outer_burial_container_range_or_prices", list_kind="outer_container",
    item_kind="outer_container", what="outer burial containers"
) }}
