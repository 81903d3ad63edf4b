-- A clearance given after the cremation cleared nothing: it counts as missing.
{{ paper_finding(
    "clearance_missing", "doubts.paper = 'medical clearance' and doubts.paper_state in ('late', 'missing')"
) }}
