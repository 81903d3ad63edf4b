-- A permission given after embalming began permitted nothing: it counts as missing.
{{ paper_finding(
    "embalmed_without_permission",
    "doubts.paper = 'embalming permission' and doubts.paper_state in ('late', 'missing')"
) }}
