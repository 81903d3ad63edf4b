{{ paper_finding(
    "authorisation_missing", "doubts.paper = 'cremation authorisation' and doubts.paper_state = 'missing'"
) }}
